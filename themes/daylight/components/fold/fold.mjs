// Opens the folded section that the page's address names, and everything for print. Closes a list after a link.

/** Open the section that an address names. The browser itself opens the sections around it. */
function openTarget() {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  /** @type {HTMLDetailsElement | null | undefined} */
  const folded = target?.querySelector(":scope > details.fold");
  if (folded) folded.open = true;
}

/** Open and close sections when the address changes and for print. @param {Document} page */
export function enhance(page) {
  /** @type {HTMLDetailsElement[]} */
  let opened = [];
  addEventListener("hashchange", openTarget);
  addEventListener("beforeprint", () => {
    opened = [...page.querySelectorAll("details:not([open])")];
    for (const folded of opened) folded.open = true;
  });
  addEventListener("afterprint", () => {
    for (const folded of opened) folded.open = false;
  });
  /** @type {HTMLDetailsElement | null} */
  const contents = page.querySelector(".contents-fold");
  contents?.addEventListener(
    "click",
    (/** @type {{ target: any }} */ { target }) => (contents.open &&= !target.closest("a")),
  );
  contents?.addEventListener("keydown", ({ key }) => {
    if (key !== "Escape" || !contents.open) return;
    contents.open = false;
    contents.querySelector("summary").focus();
  });
  openTarget();
}
