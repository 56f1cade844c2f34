// Where a browser does not know popovers, a tap on an explained word leads to its explanation at the end of the page.

/** Lead on from every explained word of a page that opens nothing here. */
export function enhance(page) {
  page.addEventListener("click", ({ target }) => {
    const word = target.closest(".explained");
    const explanation = word && document.getElementById(word.getAttribute("popovertarget"));
    if (explanation && !explanation.popover) location.hash = explanation.id;
  });
}
