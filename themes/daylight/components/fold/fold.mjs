// Opens what is folded where the page's address leads, and everything for print; folds what has led somewhere.

/** Unfold the section that an address leads to; the browser itself unfolds what lies around it. */
function openTarget() {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  /** @type {HTMLDetailsElement | null | undefined} */
  const folded = target?.querySelector(":scope > details.fold");
  if (folded) folded.open = true;
}

/** Keep what is folded in step with the address and with print. */
export function enhance(page) {
  let opened = [];
  addEventListener("hashchange", openTarget);
  addEventListener("beforeprint", () => {
    opened = [...page.querySelectorAll("details:not([open])")];
    for (const folded of opened) folded.open = true;
  });
  addEventListener("afterprint", () => {
    for (const folded of opened) folded.open = false;
  });
  const contents = page.querySelector(".contents-fold");
  contents?.addEventListener("click", ({ target }) => (contents.open &&= !target.closest("a")));
  contents?.addEventListener("keydown", ({ key }) => {
    if (key !== "Escape" || !contents.open) return;
    contents.open = false;
    contents.querySelector("summary").focus();
  });
  openTarget();
}
