// Takes along what stands after the address of a page that has moved: a place on it, or the version of a kept link.

const link = /** @type {HTMLAnchorElement} */ (document.querySelector("main a"));
if (location.search || location.hash)
  location.replace(Object.assign(new URL(link.href), { search: location.search, hash: location.hash }));
