// Keeps the fragment and the query when a moved page redirects: an anchor, or the version of a kept link.

const link = /** @type {HTMLAnchorElement} */ (document.querySelector("main a"));
if (location.search || location.hash)
  location.replace(Object.assign(new URL(link.href), { search: location.search, hash: location.hash }));
