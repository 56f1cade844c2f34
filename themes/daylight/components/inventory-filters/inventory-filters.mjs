// Filters and sorts the list of vehicles on the page, and keeps the filters in the page's address. The page's own list
// stays until a filter is set; the rows are loaded with the first filter.

import { cardMaker } from "./inventory-cards.mjs";
import { inOrder, loosening, matching, rowsOf, wishesOf } from "./inventory-matching.mjs";

const WIDE = "(width >= 61rem)";
const PAGE = "page";
/** The number of cards in the first step, more than a screen holds. The others follow after these are painted. */
const AT_ONCE = 12;

/**
 * Show the form, and update list, count and address after each change.
 * @param {Part & HTMLFormElement} form
 */
export function enhance(form) {
  const section = form.closest(".inventory");
  /** @param {string} name */
  const find = (name) => form.querySelector(`.filters-${name}`);
  const [cards, pager] = [section.querySelector(".vehicle-cards"), section.querySelector(".pager-place-holder")];
  const given = { cards: [...cards.childNodes], pager: [...pager.childNodes] };
  /** @type {CarriedInventory} */
  const carried = JSON.parse(find("carried").textContent);
  const makeCard = cardMaker(find("card"), carried);
  const say = speaker(carried);
  /** @type {any[]} */
  const fields = [.../** @type {Iterable<any>} */ (form.elements)].filter(({ name }) => name);
  /** @type {Promise<Row[]> | undefined} */
  let loading;
  let asked = 0;

  const load = () => (loading ??= Promise.all(carried.rows.map(rowsFrom)).then(rowsOf));

  /** @param {number} page */
  async function answer(page) {
    const values = /** @type {[string, string][]} */ ([...new FormData(form)]);
    const wishes = wishesOf(values);
    const sort = new Map(values).get("sort");
    asked += 1;
    const turn = asked;
    if (Object.keys(wishes).length === 0 && !sort && page === 1) {
      showGiven();
      return;
    }
    const rows = await load();
    if (turn !== asked) return;
    const { fitting, unknown } = matching(rows, wishes);
    const start = (page - 1) * carried.on_a_page;
    const listed = inOrder(fitting, /** @type {string} */ (sort)).slice(start, start + carried.on_a_page);
    cards.replaceChildren(...listed.slice(0, AT_ONCE).map(makeCard));
    cards.ariaBusy = "true";
    pager.replaceChildren();
    find("clear").hidden = false;
    const told = [fitting.length > 0 ? say.counted("fitting", fitting.length, { all: rows.length }) : ""];
    if (unknown > 0) told.push(say.counted("unknown", unknown));
    tell(fitting.length > 0 ? [] : loosening(rows, wishes), told);
    const wished = Object.keys(wishes).map((name) => wishWords(/** @type {any} */ (form.elements)[name]));
    find("asked").textContent = wished.length > 0 ? say.words("asked", { wishes: wished.join("; ") }) : "";
    announceCards();
    if (listed.length > AT_ONCE) await painted();
    if (turn !== asked) return;
    cards.append(...listed.slice(AT_ONCE).map(makeCard));
    cards.ariaBusy = null;
    // Last, so that no link moves while it is tapped.
    pager.replaceChildren(...pages(page, Math.ceil(fitting.length / carried.on_a_page)));
    announceCards();
  }

  function showGiven() {
    cards.replaceChildren(...given.cards);
    cards.ariaBusy = null;
    pager.replaceChildren(...given.pager);
    find("clear").hidden = true;
    find("count").textContent = "";
    find("asked").textContent = "";
    find("loosen").hidden = true;
    announceCards();
  }

  /** @param {{ name: string, count: number }[]} helpful @param {string[]} told */
  function tell(helpful, told) {
    const isEmpty = told[0] === "";
    if (isEmpty) told[0] = helpful.length > 0 ? say.words("none") : say.words("nothing_helps");
    find("count").textContent = told.join(" ");
    find("loosen").hidden = helpful.length === 0;
    find("loosen").replaceChildren(...helpful.map(({ name, count }) => loosenButton(name, count)));
  }

  /** @param {string} name @param {number} count */
  function loosenButton(name, count) {
    const field = /** @type {any} */ (form.elements)[name];
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = say.counted("without", count, { wish: wishWords(field) });
    button.addEventListener("click", () => {
      if (field.type === "checkbox") field.checked = false;
      else field.value = "";
      field.focus();
      follow(1, true);
    });
    const line = document.createElement("li");
    line.append(button);
    return line;
  }

  // Links, so that a page of the result can be opened beside this one, and the back button knows it.
  /** @param {number} page @param {number} last */
  function pages(page, last) {
    if (last < 2) return [];
    const nav =
      given.pager.find(({ nodeName }) => nodeName === "NAV")?.cloneNode(false) ?? document.createElement("nav");
    nav.className = "pager";
    const place = document.createElement("p");
    place.className = "pager-place";
    place.textContent = say.words("place", { page, pages: last });
    const list = document.createElement("ul");
    list.className = "pager-links";
    /** @type {[string, number, boolean][]} */
    const steps = [
      ["first", 1, page > 2],
      ["previous", page - 1, page > 1],
      ["next", page + 1, page < last],
      ["last", last, page < last - 1],
    ];
    for (const [name, to, isThere] of steps) if (isThere) list.append(pageLink(name, to));
    nav.append(place, list);
    return [nav];
  }

  /** @param {string} name @param {number} to */
  function pageLink(name, to) {
    const link = document.createElement("a");
    link.href = addressFor(to).href;
    link.textContent = carried.words[name];
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
      event.preventDefault();
      follow(to, true);
      section.querySelector("h1").scrollIntoView();
    });
    const line = document.createElement("li");
    line.append(link);
    return line;
  }

  // The label, and what was chosen or filled in.
  /** @param {any} field an input or a select */
  function wishWords(field) {
    const label = field.labels[0].textContent;
    if (field.type === "checkbox") return label;
    const unit = field.parentElement.querySelector(".filter-unit")?.textContent;
    const value = field.options
      ? field.selectedOptions[0].textContent
      : [field.value, unit].filter(Boolean).join(" ");
    return say.words("wish", { label, value });
  }

  /** @param {number} page */
  function addressFor(page) {
    const address = new URL(location.href);
    for (const { name } of fields) address.searchParams.delete(name);
    for (const [name, value] of new FormData(form)) if (value !== "") address.searchParams.set(name, String(value));
    address.searchParams.delete(PAGE);
    if (page > 1) address.searchParams.set(PAGE, /** @type {any} */ (page));
    return address;
  }

  /** @param {number} page @param {boolean} isStep */
  function follow(page, isStep) {
    const address = addressFor(page);
    if (address.href !== location.href) history[isStep ? "pushState" : "replaceState"](null, "", address);
    return answer(page).catch(notLoaded);
  }

  function notLoaded() {
    loading = undefined;
    find("count").textContent = say.words("not_loaded");
    return loadAnewIfChanged(carried).catch(() => undefined);
  }

  // Set the form from the address. A value that the form does not offer is ignored.
  function readAddress() {
    const wanted = new URLSearchParams(location.search);
    form.reset();
    for (const field of fields) {
      const value = wanted.get(field.name);
      if (value === null) continue;
      if (field.type === "checkbox") field.checked = value === field.value;
      else if (field.options && ![...field.options].some((option) => option.value === value)) continue;
      else field.value = value;
    }
    return answer(Math.max(1, Math.floor(Number(wanted.get(PAGE))) || 1)).catch(notLoaded);
  }

  const announceCards = () => section.dispatchEvent(new CustomEvent("cards-shown"));
  let isTyping = false;
  form.addEventListener("input", (/** @type {{ target: any }} */ { target }) => {
    const isText = target.matches("input:not([type=checkbox])");
    follow(1, !(isText && isTyping));
    isTyping = isText;
  });
  form.addEventListener("focusin", () => {
    isTyping = false;
    load().catch(() => {
      loading = undefined;
    });
  });
  // Not at `reset`, which is also called when an address is read: going back would lead to the first page.
  find("clear").addEventListener("click", () => setTimeout(() => follow(1, true)));
  form.addEventListener("submit", (event) => event.preventDefault());
  addEventListener("popstate", readAddress);
  form.hidden = false;
  form.querySelector(".filters").open = matchMedia(WIDE).matches;
  readAddress();
}

const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));

// A script and not a fetch, which fails in a page opened from a folder.
/** @param {string} address @returns {Promise<RowFile>} */
function rowsFrom(address) {
  const script = document.createElement("script");
  const found = () => globalThis.sitegenRows?.[/** @type {string} */ (address.split("/").pop())];
  return new Promise((resolve, reject) => {
    script.src = address;
    script.onload = () => (found() ? resolve(found()) : reject(new Error(address)));
    script.onerror = () => reject(new Error(address));
    document.head.append(script);
  }).finally(() => script.remove());
}

// If the page was open for so long that the host no longer has its rows, the newest page has others.
/** @param {CarriedInventory} carried */
async function loadAnewIfChanged(carried) {
  const answer = await fetch(location.href, { cache: "no-store" });
  if (answer.ok && !(await answer.text()).includes(carried.rows[0])) location.reload();
}

/** @param {CarriedInventory} carried */
function speaker({ words, locale }) {
  const [number, plural] = [new Intl.NumberFormat(locale, { useGrouping: true }), new Intl.PluralRules(locale)];
  /** @param {Filled} figure */
  const written = (figure) => (typeof figure === "number" ? number.format(figure) : figure);
  /** @param {string} text @param {Record<string, Filled>} figures */
  const fill = (text, figures = {}) => text.replace(/\{(\w+)\}/g, (_, name) => written(figures[name]));
  return {
    /** @param {string} key @param {Record<string, Filled>} [figures] */
    words: (key, figures) => fill(words[key], figures),
    /** @param {string} key @param {number} count @param {Record<string, Filled>} [figures] */
    counted: (key, count, figures) =>
      fill(words[key][plural.select(count)] ?? words[key].other, { ...figures, count }),
  };
}
