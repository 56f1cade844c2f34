// Finds text whose contrast with what lies behind it is below a ratio, by colors as the browser has resolved them.
// Formula: WCAG 2.2, "relative luminance" and "contrast ratio".

const painter = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });

/** Any CSS color as [red, green, blue, opacity], 0 to 255 and 0 to 1. */
function resolved(color) {
  painter.clearRect(0, 0, 1, 1);
  painter.fillStyle = color;
  painter.fillRect(0, 0, 1, 1);
  const [red, green, blue, opacity] = painter.getImageData(0, 0, 1, 1).data;
  return [red, green, blue, opacity / 255];
}

function luminance([red, green, blue]) {
  const [r, g, b] = [red, green, blue].map((channel) => {
    const share = channel / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(one, other) {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}

function over([red, green, blue, opacity], under) {
  return [red, green, blue].map((channel, place) => channel * opacity + under[place] * (1 - opacity));
}

/** What lies behind an element: the backgrounds of it and of all it stands in, the page's own at the bottom. */
function behind(element) {
  const layers = [];
  for (let part = element; part; part = part.parentElement) {
    layers.unshift(resolved(getComputedStyle(part).backgroundColor));
  }
  return layers.reduce((under, layer) => over(layer, under), [255, 255, 255]);
}

/** What a word in a drawing stands on: the nearest filled shape under it, or else what lies behind the drawing. */
function behindDrawn(text) {
  text.scrollIntoView({ block: "center", behavior: "instant" });
  const { x, y, width, height } = text.getBoundingClientRect();
  const under = document.elementsFromPoint(x + width / 2, y + height / 2);
  const shape = under.slice(under.indexOf(text) + 1).find((part) => {
    return part.ownerSVGElement && part.localName !== "text" && resolved(getComputedStyle(part).fill)[3] > 0;
  });
  return shape ? over(resolved(getComputedStyle(shape).fill), behind(text)) : behind(text);
}

function isSeen(element) {
  const isShown = element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  return isShown && !element.closest(".only-heard");
}

/** Every piece of text as [words, color, what is behind it]; of an open dialog alone, for it covers the page. */
function* texts() {
  const read = document.querySelector("dialog:modal") ?? document.body;
  const walker = document.createTreeWalker(read, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || !isSeen(element)) continue;
    const style = getComputedStyle(element);
    const words = walker.currentNode.data.trim().slice(0, 40);
    yield element.ownerSVGElement ? [words, style.fill, behindDrawn(element)] : [words, style.color, behind(element)];
  }
  for (const field of read.querySelectorAll("input:not([type=checkbox], [type=radio], [type=range]), select")) {
    if (!isSeen(field)) continue;
    yield [`in ${field.id}`, getComputedStyle(field).color, behind(field)];
    yield [`hint in ${field.id}`, getComputedStyle(field, "::placeholder").color, behind(field)];
  }
}

function textsBelow(ratio) {
  let count = 0;
  const found = [];
  for (const [words, color, under] of texts()) {
    count += 1;
    const measured = contrast(over(resolved(color), under), under);
    if (measured < ratio) found.push([words, color, under.join(" "), measured]);
  }
  return { count, found };
}
