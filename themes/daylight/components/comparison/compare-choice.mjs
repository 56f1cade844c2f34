// Lets a shopper tick the vehicles to compare, in any list. The choice is kept in the page's address, and is passed on
// to the other pages of the list.

import { MOST, choose, chosenIn } from "./comparison-rows.mjs";

const PARAMETER = "compare";

/**
 * Add the checkboxes of the cards, and the bar with the link to the comparison.
 * @param {Part} bar
 */
export function enhance(bar) {
  const section = bar.closest(".inventory");
  const [words, link] = [bar.querySelector(".compare-bar-words"), bar.querySelector(".compare-bar-link")];
  const names = new Map();
  const chosen = () => chosenIn(new URLSearchParams(location.search).get(PARAMETER));

  function show() {
    const stocks = chosen();
    for (const choice of section.querySelectorAll(".compare-choice")) {
      const box = choice.querySelector(".compare-box");
      names.set(box.value, choice.querySelector(".compare-name").textContent);
      box.checked = stocks.includes(box.value);
      box.disabled = stocks.length === MOST && !box.checked;
      choice.hidden = false;
    }
    const text = stocks.length < 2 ? bar.dataset.one : stocks.length < MOST ? bar.dataset.many : bar.dataset.full;
    words.textContent =
      stocks.length > 0
        ? /** @type {string} */ (text).replace("{names}", stocks.map((stock) => names.get(stock) ?? stock).join(", "))
        : "";
    bar.hidden = stocks.length === 0;
    link.hidden = stocks.length < 2;
    const comparison = new URL(link.href);
    comparison.search = `?vehicles=${stocks.join(",")}`;
    link.href = comparison.href;
    for (const way of section.querySelectorAll(".pager a, .browse a")) keep(way, stocks);
  }

  section.addEventListener("change", (/** @type {{ target: any }} */ { target }) => {
    if (!target.matches(".compare-box")) return;
    const address = new URL(location.href);
    write(address, choose(chosen(), target.value, target.checked));
    history.replaceState(null, "", address);
    show();
  });
  section.addEventListener("cards-shown", show);
  addEventListener("popstate", show);
  show();
}

/** @param {HTMLAnchorElement} way @param {string[]} stocks */
function keep(way, stocks) {
  const address = new URL(way.href);
  write(address, stocks);
  way.href = address.href;
}

/** @param {URL} address @param {string[]} stocks */
function write(address, stocks) {
  // Commas stay as they are, so that the address can be read.
  address.searchParams.delete(PARAMETER);
  if (stocks.length > 0) address.search += `${address.search ? "&" : "?"}${PARAMETER}=${stocks.join(",")}`;
}
