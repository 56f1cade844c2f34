// In a browser without popovers, a tap on an explained word scrolls to its explanation at the end of the page.

/**
 * Make every explained word of a page scroll to its explanation.
 * @param {Document} page
 */
export function enhance(page) {
  page.addEventListener("click", (/** @type {{ target: any }} */ { target }) => {
    const word = target.closest(".explained");
    const explanation = word && document.getElementById(word.getAttribute("popovertarget"));
    if (explanation && !explanation.popover) location.hash = explanation.id;
  });
}
