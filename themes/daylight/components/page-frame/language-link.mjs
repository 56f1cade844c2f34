// Keeps the reader's place when they change the language, and offers the language that their browser asks for.

/**
 * Let a link to the same page in another language carry what stands after this page's address. Offer it above the page
 * if the reader's browser asks for that language before this page's, and the page is in the store's first language;
 * whoever reads another one has chosen it. This reads the browser's own list of languages: nothing is requested or
 * stored.
 *
 * @param {Element} element an `a` element
 */
export function enhance(element) {
  const link = /** @type {HTMLAnchorElement} */ (element);
  const links = [link];
  if (isInFirstLanguage() && isPreferred(link.lang)) {
    const copy = /** @type {HTMLAnchorElement} */ (link.cloneNode(true));
    const offer = document.createElement("p");
    offer.className = "wide language-offer no-print";
    offer.append(copy);
    document.querySelector(".site-head")?.append(offer);
    links.push(copy);
  }
  for (const each of links)
    for (const event of ["pointerdown", "focus", "click"]) each.addEventListener(event, keepPlace);
}

/** Return whether this page is the one for readers of any language. */
function isInFirstLanguage() {
  const address = (/** @type {string} */ selector) =>
    /** @type {HTMLLinkElement | null} */ (document.querySelector(selector))?.href;
  return address('link[hreflang="x-default"]') === address('link[rel="canonical"]');
}

/**
 * Return whether the browser's list has a language before the page's own. Source: RFC 4647, 3.4 (lookup).
 *
 * @param {string} language
 */
function isPreferred(language) {
  const primary = (/** @type {string} */ tag) => tag.split("-")[0].toLowerCase();
  const offered = [primary(language), primary(document.documentElement.lang)];
  return navigator.languages.map(primary).find((tag) => offered.includes(tag)) === offered[0];
}

/** @param {Event} event */
function keepPlace({ currentTarget }) {
  const link = /** @type {HTMLAnchorElement} */ (currentTarget);
  link.search = location.search;
  link.hash = location.hash;
}
