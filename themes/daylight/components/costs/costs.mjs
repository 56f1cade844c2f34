// Lets a reader tick work to be done before delivery, and choose delivery: the table adds it, and so do the ready messages.
// What is ticked stands in the page's address and nowhere else; nothing is ticked beforehand.

import { chosenFor, keepChosen } from "../outlook/outlook-choice.mjs";
import { amountsOf, totalsOf } from "./costs-sums.mjs";

/**
 * Bring the boxes. `recount` works the outlook out again. Return what the outlook asks for: the keys of the lines that
 * are ticked, and how to show the table beside its upkeep.
 * @param {Part & HTMLDetailsElement} costs
 * @param {() => Promise<unknown>} recount
 */
export function enhance(costs, recount) {
  /** @type {CarriedCosts} */
  const carried = JSON.parse(costs.querySelector(".costs-facts").textContent);
  /** @type {HTMLInputElement[]} */
  const boxes = [...costs.querySelectorAll(".costs-box")];
  /** @type {HTMLSelectElement | null} */
  const select = costs.querySelector(".costs-choice");
  const spoken = costs.querySelector(".costs-told");
  /** @type {{ link: HTMLAnchorElement, href: string }[]} */
  const messages = [...costs.querySelectorAll('.ask a[href^="sms:"], .ask a[href^="mailto:"]')].map((link) => ({
    link,
    href: link.getAttribute("href"),
  }));
  const { money, about } = amountsOf(carried);
  const chosen = () => ({
    work: boxes.filter(({ checked }) => checked).map(({ value }) => value),
    delivery: select?.value ?? "",
  });
  const isAnything = () => chosen().work.length > 0 || chosen().delivery !== "";
  let upkeep = carried.upkeep;

  const wanted = chosenFor(carried.stock);
  for (const box of boxes) {
    box.checked = wanted.work.includes(box.value);
    box.hidden = false;
    box.addEventListener("change", () => follow());
  }
  for (const shown of costs.querySelectorAll(".costs-agreed, .costs-delivery > [hidden]")) shown.hidden = false;
  if (select) {
    if ([...select.options].some(({ value }) => value === wanted.delivery)) select.value = wanted.delivery;
    select.addEventListener("change", () => follow());
  }
  if (isAnything()) {
    costs.open = true;
    show();
  }

  async function follow() {
    keepChosen(carried.stock, chosen());
    show();
    await recount();
    const totals = totalsOf(carried, chosen(), upkeep);
    spoken.textContent = fill(carried.words.announced, {
      purchase: money(totals.purchase),
      total: totals.firstTotal === null ? "" : about(totals.firstTotal),
    });
  }

  function show() {
    const totals = totalsOf(carried, chosen(), upkeep);
    /** @param {string} key @param {string} words */
    const put = (key, words, hidden = false) => {
      const row = costs.querySelector(`[data-row="${key}"]`);
      if (!row) return;
      row.cells[1].textContent = words;
      row.hidden = hidden;
    };
    put("work", money(totals.work), chosen().work.length === 0);
    put("delivery", money(totals.delivery), chosen().delivery === "");
    put("purchase", money(totals.purchase));
    if (upkeep) {
      for (const [place, key] of ["first", "three"].entries()) put(key, about(upkeep[place]));
      put("first_total", about(/** @type {number} */ (totals.firstTotal)));
      put("three_total", about(/** @type {number} */ (totals.threeTotal)));
      costs.querySelector(".costs-brief").textContent = fill(carried.words.brief, {
        total: about(/** @type {number} */ (totals.firstTotal)),
      });
    }
    for (const { link, href } of messages) link.href = withMore(href, messageOf(totals));
  }

  /** @param {{ purchase: number }} totals */
  function messageOf({ purchase }) {
    if (!isAnything()) return "";
    const { work, delivery } = chosen();
    const items = work.map((key) => `${carried.offers[key].words} (${money(carried.offers[key].cents)})`);
    const sentences = [
      items.length > 0 && fill(carried.words.message_work, { items: listed(items, carried.list) }),
      delivery &&
        fill(carried.words.message_delivery, {
          delivery: /** @type {HTMLSelectElement} */ (select).selectedOptions[0].textContent,
        }),
      fill(carried.words.message_price, { purchase: money(purchase) }),
      location.protocol === "file:" ? "" : location.href,
    ];
    return sentences.filter(Boolean).join("\r\n");
  }

  return {
    lines: () =>
      boxes
        .filter(({ checked }) => checked)
        .flatMap(({ dataset }) => /** @type {string} */ (dataset.lines).split(" ").filter(Boolean)),
    doneWords: carried.words.done_first,
    /** @param {number[]} found */
    showUpkeep(found) {
      if (upkeep) upkeep = found;
      show();
    },
  };
}

// RFC 5724 and RFC 6068: the body is the last field of a ready message, percent-encoded.
/** @param {string} href @param {string} more */
function withMore(href, more) {
  return more === "" ? href : `${href}${encodeURIComponent(`\r\n${more}`)}`;
}

/** @param {string[]} items @param {CarriedCosts["list"]} list */
function listed(items, { comma, last }) {
  return items.length < 2
    ? items.join("")
    : fill(last, { first: items.slice(0, -1).join(comma), last: items.at(-1) });
}

/** @param {string} text @param {Record<string, any>} figures */
const fill = (text, figures) => text.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
