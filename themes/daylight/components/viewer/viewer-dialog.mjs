// Shows photos one after the other over the whole page. The browser's own modal dialog holds the focus and gives it
// back; the vendored library does zoom and swipe; the controls and words are the component's.

import PhotoSwipe from "../../scripts/vendor/photoswipe.esm.min.js";

const STEP = 1.6;
const GLIDE = 200;

/** @typedef {ReturnType<typeof photoOf>} Photo */

/**
 * Open the viewer at one of the page's photo links.
 * @param {HTMLAnchorElement[]} links
 * @param {HTMLAnchorElement} link
 * @param {HTMLTemplateElement} template
 */
export function show(links, link, template) {
  if (document.querySelector("dialog.viewer")) return;
  const dialog = template.content.firstElementChild.cloneNode(true);
  /** @param {string} name */
  const part = (name) => dialog.querySelector(`.viewer-${name}`);
  const glide = matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : GLIDE;
  const photos = links.map(photoOf);
  const viewer = new PhotoSwipe({
    dataSource: photos,
    index: links.indexOf(link),
    appendToEl: part("stage"),
    getViewportSizeFn: () => ({ x: dialog.clientWidth, y: dialog.clientHeight }),
    paddingFn: () => ({ top: part("bar").offsetHeight, bottom: part("foot").offsetHeight, left: 0, right: 0 }),
    bgOpacity: 1,
    wheelToZoom: true,
    tapAction: false,
    showHideAnimationType: "fade",
    showAnimationDuration: glide,
    hideAnimationDuration: glide,
    zoomAnimationDuration: glide,
    trapFocus: false,
    returnFocus: false,
    errorMsg: dialog.dataset.failed,
    arrowPrev: false,
    arrowNext: false,
    close: false,
    zoom: false,
    counter: false,
    preloader: false,
  });
  viewer.addFilter(
    "placeholderSrc",
    (/** @type {unknown} */ _, /** @type {{ data: Photo }} */ { data }) => data.msrc,
  );
  viewer.on("imageSizeChange", (/** @type {any} */ { slide, width, height }) => drawMark(slide, width, height));
  viewer.on("zoomPanUpdate", (/** @type {any} */ { slide }) => {
    viewer.options.arrowKeys = !isZoomedIn(slide);
  });
  viewer.on("change", () => {
    const before = part("foot").offsetHeight;
    tell(viewer.currIndex, photos, part);
    // A longer caption leaves less space for the photo.
    if (part("foot").offsetHeight !== before) viewer.updateSize(true);
  });
  viewer.on("destroy", () => dialog.close());
  bindControls(dialog, part, viewer, glide);
  dialog.addEventListener("close", () => {
    viewer.destroy();
    dialog.remove();
    link.focus({ preventScroll: true });
  });
  document.body.append(dialog);
  dialog.showModal();
  tell(links.indexOf(link), photos, part);
  viewer.init();
  // The library gives itself the role of a dialog; here it is only the picture within one.
  viewer.element.removeAttribute("role");
  viewer.element.removeAttribute("tabindex");
}

/** @param {HTMLAnchorElement} link */
function photoOf(link) {
  const image = link.querySelector("img");
  return {
    src: link.href,
    msrc: image.currentSrc || false,
    width: Number(image.getAttribute("width")),
    height: Number(image.getAttribute("height")),
    element: link,
    mark: link.querySelector(".mark"),
    caption: captionOf(link, image),
  };
}

// The defect's own title, if the photo is of one, and what the page says below the photo. Parts in another language
// keep their mark; what the page only lets be heard is seen here.
/** @param {Element} link @param {HTMLImageElement} image */
function captionOf(link, image) {
  const caption = document.createDocumentFragment();
  const title = link.closest(".defect")?.querySelector(".defect-title");
  if (title) {
    const heading = document.createElement("strong");
    heading.append(...copies(title));
    for (const words of heading.querySelectorAll(".only-heard")) words.classList.remove("only-heard");
    caption.append(heading);
  }
  const below = link.closest("figure")?.querySelector("figcaption");
  if (below) {
    caption.append(...copies(below));
  } else {
    const words = document.createElement("span");
    words.lang = image.lang;
    words.textContent = image.alt;
    caption.append(words);
  }
  return caption;
}

/** @param {Element} element */
function copies(element) {
  return element.cloneNode(true).childNodes;
}

/** @param {number} index @param {Photo[]} photos @param {(name: string) => any} part */
function tell(index, photos, part) {
  const { caption, mark } = photos[index];
  const [words, place] = [part("words"), part("place")];
  place.textContent = place.dataset.words.replace("{place}", index + 1).replace("{count}", photos.length);
  part("caption").replaceChildren(caption.cloneNode(true));
  part("mark-button").hidden = !mark;
  // A caption that must be scrolled can be reached by keyboard; any other is no stop on the way.
  if (words.scrollHeight > words.clientHeight) words.tabIndex = 0;
  else words.removeAttribute("tabindex");
}

/** @param {any} slide a slide of the vendored library @param {number} width @param {number} height */
function drawMark(slide, width, height) {
  if (!slide.data.mark) return;
  const mark = slide.container.querySelector(".mark") ?? slide.container.appendChild(slide.data.mark.cloneNode(true));
  mark.style.width = `${width}px`;
  mark.style.height = `${height}px`;
}

/** @param {any} slide a slide of the vendored library */
function isZoomedIn(slide) {
  return slide.currZoomLevel > slide.zoomLevels.fit;
}

/**
 * @param {HTMLDialogElement} dialog @param {(name: string) => any} part
 * @param {any} viewer the vendored library's @param {number} glide
 */
function bindControls(dialog, part, viewer, glide) {
  const markButton = part("mark-button");
  const sayMark = () => {
    const hidden = dialog.classList.contains("viewer-unmarked");
    markButton.textContent = hidden ? markButton.dataset.show : markButton.dataset.hide;
  };
  /** @param {number} by */
  const zoom = (by) => {
    const { currZoomLevel, zoomLevels } = viewer.currSlide;
    const level = Math.min(Math.max(currZoomLevel * by, zoomLevels.fit), zoomLevels.max);
    viewer.zoomTo(level, viewer.getViewportCenterPoint(), glide);
  };
  const close = () => {
    if (viewer.opener.isOpen) viewer.close();
    else viewer.on("openingAnimationEnd", () => viewer.close());
  };
  markButton.addEventListener("click", () => {
    dialog.classList.toggle("viewer-unmarked");
    sayMark();
  });
  part("previous").addEventListener("click", () => viewer.prev());
  part("next").addEventListener("click", () => viewer.next());
  part("out").addEventListener("click", () => zoom(1 / STEP));
  part("in").addEventListener("click", () => zoom(STEP));
  part("close").addEventListener("click", close);
  dialog.addEventListener("cancel", (event) => {
    event.preventDefault();
    close();
  });
  dialog.addEventListener("keydown", (event) => {
    if (event.key === "+" || event.key === "=") zoom(STEP);
    if (event.key === "-") zoom(1 / STEP);
  });
  sayMark();
}
