// A strip of photos is one tab stop: arrow keys move along it, and the viewer shows all photos.

/**
 * Move the focus from photo to photo in a strip with the arrow keys.
 * @param {Part} strip
 */
export function enhance(strip) {
  /** @type {HTMLAnchorElement[]} */
  const links = [...strip.querySelectorAll(".photo-link")];
  /** @param {unknown} stop */
  const stopAt = (stop) => {
    for (const link of links) link.tabIndex = link === stop ? 0 : -1;
  };
  strip.addEventListener("focusin", ({ target }) => stopAt(target));
  strip.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const next = step && links[links.indexOf(/** @type {HTMLAnchorElement} */ (event.target)) + step];
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
  stopAt(links[0]);
}
