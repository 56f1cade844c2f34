// Lets a shopper set the distance they drive in a year, and count from today: the outlook is worked out again on the page,
// by the same arithmetic that made it. Nothing changes before that: the page counts from the day of the odometer reading,
// as cards and lists do. The arithmetic is loaded then, so that a page begins without its weight.

import { enhance as enhanceCosts } from "../costs/costs.mjs";
import { upkeepOf } from "../costs/costs-sums.mjs";
import { loadScript } from "../page-frame/lazy-script.mjs";
import { timeBar } from "./outlook-bars.mjs";
import { choiceIn, daysSince, keepChoice } from "./outlook-choice.mjs";

/** @returns {Promise<typeof import("./outlook-arithmetic.mjs") & typeof import("./outlook-words.mjs")>} */
const load = () => loadScript("lazy-outlook.js");

/**
 * Show the control, and update the section after each change.
 * @param {Part} section
 */
export function enhance(section) {
  /** @param {string} name */
  const find = (name) => section.querySelector(`.outlook-${name}`);
  const [form, number, slider, today] = ["form", "number", "slider", "from-today"].map(find);
  const spoken = form.querySelector("output");
  const folded = section.querySelector(".costs");
  const costs = folded && enhanceCosts(folded, () => show(number.valueAsNumber, today.checked));
  /** @type {CarriedOutlook} */
  let carried, /** @type {ReturnType<typeof import("./outlook-words.mjs").speaker>} */ say;

  /** @param {number} aYear @param {boolean} fromToday @returns {Promise<Outlook>} */
  async function show(aYear, fromToday) {
    const { outlookFor, speaker } = await load();
    carried ??= JSON.parse(find("facts").textContent);
    say ??= speaker(carried);
    const later = fromToday ? daysSince(carried.counted_from) : 0;
    const done = costs?.lines() ?? [];
    const outlook = outlookFor(carried.facts, aYear, later, done);
    showItems(section, outlook, (item) =>
      done.includes(item.key) ? [costs.doneWords, "", true] : [say.when(item), say.time(item, later)],
    );
    costs?.showUpkeep(upkeepOf(outlook));
    section.querySelectorAll(".outlook-years tbody tr").forEach((row, place) => {
      for (const [number, words] of say.rows(outlook)[place].entries()) row.cells[number + 1].textContent = words;
    });
    for (const sum of find("plan") ? say.sums(outlook) : []) {
      const shown = section.querySelector(`[data-sum="${sum.key}"]`);
      for (const name of /** @type {const} */ (["about", "likely", "note"]))
        shown.querySelector(`.outlook-sum-${name}`).textContent = sum[name];
    }
    const first = document.querySelector(".first-plan");
    if (first) first.textContent = say.inBrief(outlook);
    find("not-included").textContent = say.notIncluded(outlook.named);
    find("notes").replaceChildren(...say.notes(outlook.named).map(listItem));
    find("introduction").textContent = say.introduction(aYear, later);
    document.dispatchEvent(new CustomEvent("outlook-shown", { detail: { outlook, say } }));
    return outlook;
  }

  /** @param {HTMLInputElement} from */
  async function follow(from) {
    if (!isWhole(from)) return;
    const aYear = from.valueAsNumber;
    number.value = slider.value = aYear;
    keepChoice({ aYear, fromToday: today.checked });
    const outlook = await show(aYear, today.checked);
    spoken.textContent = [say.announced(outlook, aYear), today.checked ? say.today : ""].join(" ");
  }

  number.addEventListener("input", () => follow(number));
  slider.addEventListener("input", () => follow(slider));
  today.addEventListener("change", () => follow(number));
  form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
  form.addEventListener("focusin", load);
  section
    .querySelector(".outlook")
    .addEventListener("click", (/** @type {Event} */ event) => showGround(section, event));
  form.hidden = false;
  find("today").hidden = false;

  const { aYear, fromToday } = choiceIn(number);
  if (aYear === null && !fromToday && !costs?.lines().length) return;
  if (aYear !== null) number.value = slider.value = aYear;
  today.checked = fromToday;
  show(number.valueAsNumber, fromToday);
}

// The steps apply to the arrow keys only.
/** @param {HTMLInputElement} field */
function isWhole(field) {
  return field.checkValidity() || (field.validity.stepMismatch && Number.isInteger(field.valueAsNumber));
}

/** @param {Part} section @param {Outlook} outlook @param {(item: OutlookItem) => ToldItem} told */
function showItems(section, outlook, told) {
  const list = section.querySelector(".outlook");
  for (const line of section.querySelectorAll(".outlook-line, [data-line]"))
    line.hidden = !outlook.items.some(({ key }) => key === (line.dataset.key ?? line.dataset.line));
  for (const group of list.querySelectorAll(".outlook-group")) {
    const items = outlook.items.filter((item) => groupOf(item) === group.dataset.group);
    group.hidden = items.length === 0;
    list.append(
      group,
      "\n",
      ...items.map((item) => showItem(list.querySelector(`[data-key="${item.key}"]`), item, told(item))),
    );
  }
  const table = section.querySelector(".outlook-table tbody");
  for (const { key } of outlook.items)
    table.append(showTold(table.querySelector(`[data-line="${key}"]`), list.querySelector(`[data-key="${key}"]`)));
}

/** @param {Part} line @param {OutlookItem} item @param {ToldItem} told */
function showItem(line, item, [when, time, isDone]) {
  line.querySelector(".outlook-band").textContent = when;
  line.querySelector(".outlook-time").textContent = time;
  const distance = line.querySelector(".outlook-distance");
  if (distance)
    distance.hidden = isDone || item.byTime || item.bandTo === "due now" || item.months === null || item.budgetNow;
  const bar = timeBar(item.months);
  line.querySelector(".outlook-drawing").classList.toggle("outlook-no-bar", !bar);
  if (bar) draw(line.querySelector(".outlook-bar"), bar);
  return line;
}

/** @param {OutlookItem} item */
function groupOf({ bandFrom, budgetNow, notMeasured }) {
  if (budgetNow) return "no_record";
  if (notMeasured) return "not_measured";
  return { "due now": "now", "no basis to say": "no_basis" }[bandFrom] ?? "coming";
}

/** @param {Element} bar @param {{ x: any, width: any }} place */
function draw(bar, { x, width }) {
  bar.setAttribute("x", x);
  bar.setAttribute("width", width);
}

// The table has the same words as the line.
/** @param {Part} row @param {Part} line */
function showTold(row, line) {
  const words = [...line.querySelectorAll(".outlook-when > :not([hidden])")].map(({ textContent }) => textContent);
  row.querySelector(".outlook-told").textContent = words.filter(Boolean).join(" ");
  return row;
}

// A tap on a line shows its basis. With a keyboard the table is one tab stop away, so lines are no tab stops.
/** @param {Part} section @param {any} event a tap, whose target is an element */
function showGround(section, { target }) {
  if (target.closest(".ask-folded, .explained")) return;
  const line = target.closest(".outlook-line");
  const shown = line?.querySelector(".outlook-ground-here");
  if (!line || shown) return shown?.remove();
  const here = document.createElement("div");
  here.className = "outlook-ground-here small soft";
  const row = section.querySelector(`[data-line="${line.dataset.key}"]`);
  const told = row.querySelector(".outlook-told").textContent;
  here.append(
    `${told}${told.endsWith(".") ? "" : "."} `,
    ...row.querySelector(".outlook-ground").cloneNode(true).childNodes,
  );
  line.append(here);
}

/** @param {string} words */
function listItem(words) {
  const item = document.createElement("li");
  item.textContent = words;
  return item;
}
