// Compares the two to four vehicles in the page's address.

import { partsOf } from "./comparison-parts.mjs";
import { onOneScale } from "./comparison-rulers.mjs";
import { allLabels, areAlike, chosenIn, differences } from "./comparison-rows.mjs";
import { amountsOf, linesDone, totalsOf, upkeepOf } from "../costs/costs-sums.mjs";
import { outlookFor } from "../outlook/outlook-arithmetic.mjs";
import { choiceIn, chosenFor, daysSince, keepChoice } from "../outlook/outlook-choice.mjs";
import { speaker } from "../outlook/outlook-words.mjs";

const VEHICLES = "vehicles";

/**
 * @typedef {NonNullable<ReturnType<typeof partsOf>> & { stock: string }} ComparedVehicle
 * @typedef {ReturnType<typeof totalsOf>} Totals
 * @typedef {ReturnType<typeof amountsOf>} Amounts
 * @typedef {{ carried: CarriedOutlook, later: number, found: Outlook, say: ReturnType<typeof speaker>,
 *   costs: CarriedCosts | null, chosen: Chosen }} Worked
 */

/**
 * Load the chosen vehicles' pages and compare them. Compute the costs again for another distance a year.
 * @param {Part} section
 */
export async function enhance(section) {
  /** @param {string} name */
  const find = (name) => section.querySelector(`.comparison-${name}`);
  find("no-script").hidden = true;
  if (location.protocol === "file:") {
    // A page opened from a folder cannot read another page.
    find("needs-host").hidden = false;
    return;
  }
  const words = JSON.parse(find("carried").textContent);
  const chosen = chosenIn(new URLSearchParams(location.search).get(VEHICLES));
  if (chosen.length > 0) find("more").href = `${section.dataset.list}?compare=${chosen.join(",")}`;
  const loaded = await Promise.all(
    chosen.map((stock) => load(/** @type {string} */ (section.dataset.vehicle).replace("*", stock))),
  );
  const vehicles = loaded.flatMap((parts, place) => (parts ? [{ ...parts, stock: chosen[place] }] : []));
  find("empty").hidden = vehicles.length > 0;
  if (vehicles.length === 0) return;
  const keeping = find("kept").firstElementChild;
  keeping.href = `${keeping.getAttribute("href")}?vehicles=${vehicles.map(({ stock }) => stock).join(",")}`;
  find("kept").hidden = false;
  const aYear = find("a-year");
  const today = find("from-today");
  const wanted = choiceIn(aYear);
  if (wanted.aYear !== null) aYear.value = wanted.aYear;
  today.checked = wanted.fromToday;

  function show() {
    find("place").replaceChildren(tableOf(vehicles, { aYear: Number(aYear.value), fromToday: today.checked }, words));
  }

  function follow() {
    const value = aYear.valueAsNumber;
    if (!(Number.isInteger(value) && value >= Number(aYear.min) && value <= Number(aYear.max))) return;
    keepChoice({ aYear: value, fromToday: today.checked });
    show();
    find("told").textContent = words.worked_out_again.replace("{distance}", value);
  }

  aYear.addEventListener("input", follow);
  today.addEventListener("change", follow);
  find("form").addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
  find("form").hidden = false;
  show();
  find("told").textContent = vehicles.map(({ name }) => name).join("; ");
}

/** @param {string} address */
async function load(address) {
  const full = new URL(address, location.href).href;
  const answer = await fetch(full).catch(() => null);
  if (!answer?.ok) return null;
  return partsOf(new DOMParser().parseFromString(await answer.text(), "text/html"), full);
}

// Set the roles explicitly, since on a narrow screen the rows are not laid out as a table.
/** @param {ComparedVehicle[]} vehicles @param {ComparedChoice} choice @param {ComparisonWords} words */
function tableOf(vehicles, choice, words) {
  const scroller = make("div", { className: "scroller", tabIndex: 0, role: "group", ariaLabel: words.caption });
  const table = make("table", { className: "comparison", role: "table" });
  table.style.setProperty("--vehicles", /** @type {any} */ (vehicles.length));
  table.append(make("caption", { className: "only-heard" }, words.caption), headOf(vehicles, words));
  /** @type {ComparisonRow[]} */
  const same = [];
  for (const [heading, rows] of groupsOf(vehicles, choice, words)) {
    const shown = rows.filter((row) => !isSame(row));
    same.push(...rows.filter(isSame));
    if (shown.length > 0) table.append(groupOf(heading, shown, vehicles.length, words));
  }
  scroller.append(table);
  const whole = document.createDocumentFragment();
  whole.append(scroller, ...(same.length > 0 ? [sameOf(same, words)] : []));
  return whole;
}

// Only rows that are marked as foldable are folded, even if other rows are equal.
/** @param {ComparisonRow} row */
function isSame([, cells, mayFold]) {
  return (
    mayFold === true &&
    cells.length > 1 &&
    areAlike(cells.map((cell) => /** @type {Node} */ (cell)?.textContent ?? /** @type {string} */ (cell)))
  );
}

/** @param {ComparisonRow[]} rows @param {ComparisonWords} words */
function sameOf(rows, words) {
  const folded = make("details", { className: "comparison-same" });
  const list = make("dl", { className: "facts" });
  for (const [label, [content]] of rows) {
    const fact = make("div", {});
    const told = make("dd", {});
    told.append(
      content === null || content === ""
        ? words.not_listed
        : typeof content === "string"
          ? content
          : content.cloneNode(true),
    );
    fact.append(make("dt", {}, label), told);
    list.append(fact);
  }
  folded.append(make("summary", {}, words.same.replace("{count}", rows.length)), list);
  return folded;
}

/** @param {ComparedVehicle[]} vehicles @param {ComparisonWords} words */
function headOf(vehicles, words) {
  const row = make("tr", { role: "row", className: "comparison-head" });
  row.append(make("td", { role: "cell" }));
  for (const vehicle of vehicles) {
    const cell = make("th", { scope: "col", role: "columnheader" });
    if (vehicle.photo) cell.append(vehicle.photo.cloneNode(true));
    cell.append(make("a", { href: vehicle.address }, vehicle.name));
    if (vehicle.status) cell.append(" ", make("span", { className: "status" }, vehicle.status));
    const remaining = vehicles.filter((other) => other !== vehicle).map(({ stock }) => stock);
    const remove = make(
      "a",
      { className: "comparison-remove small no-print", href: withVehicles(remaining) },
      words.remove,
    );
    remove.append(make("span", { className: "only-heard" }, ` ${vehicle.name}`));
    cell.append(remove);
    row.append(cell);
  }
  const head = make("thead", { role: "rowgroup" });
  head.append(row);
  return head;
}

/** @param {string} heading @param {ComparisonRow[]} rows @param {number} count @param {ComparisonWords} words */
function groupOf(heading, rows, count, words) {
  const body = make("tbody", { role: "rowgroup" });
  const title = make("tr", { role: "row" });
  title.append(
    make(
      "th",
      { className: "comparison-heading", role: "rowheader", scope: "rowgroup", colSpan: count + 1 },
      heading,
    ),
  );
  body.append(title);
  for (const [label, cells] of rows) {
    const row = make("tr", { role: "row", className: "comparison-row" });
    row.append(make("th", { scope: "row", role: "rowheader" }, label));
    for (const content of cells) {
      const cell = make("td", { role: "cell" });
      if (content === null || content === "") cell.append(make("span", { className: "soft" }, words.not_listed));
      else cell.append(typeof content === "string" ? content : content.cloneNode(true));
      row.append(cell);
    }
    body.append(row);
  }
  const rulers = [...body.querySelectorAll(".ruler")];
  if (rulers.length > 0) onOneScale(rulers);
  return body;
}

/**
 * @param {ComparedVehicle[]} vehicles @param {ComparedChoice} choice @param {ComparisonWords} words
 * @returns {[string, ComparisonRow[]][]}
 */
function groupsOf(vehicles, choice, words) {
  /**
   * @template Result @param {(vehicle: ComparedVehicle) => Result} part
   * @param {(totals: Totals, amounts: Amounts) => string | null} part
   */
  const each = (part) => vehicles.map(part);
  /** @param {(vehicle: ComparedVehicle) => Map<string, Content>} part @returns {ComparisonRow[]} */
  const byLabel = (part) =>
    allLabels(each((vehicle) => [...part(vehicle).keys()])).map((label) => [
      label,
      each((vehicle) => part(vehicle).get(label) ?? null),
    ]);
  /** @param {"tires" | "brakes"} name */
  const wheels = (name) => byLabel(({ wheels }) => wheels[name]);
  const stations = words.stations.filter((station) => vehicles.some((vehicle) => vehicle.stations.has(station)));
  /** @param {ComparisonRow} row @returns {ComparisonRow[]} */
  const onlyIfSaid = (row) => (row[1].some((cell) => cell !== null) ? [row] : []);
  /** @param {ComparisonRow[]} rows @returns {ComparisonRow[]} */
  const mayFold = (rows) => rows.map(([label, cells]) => [label, cells, true]);
  const { sums, items } = costRows(vehicles, choice, words);
  return [
    [
      words.money,
      [[words.price, each(({ price }) => price)], [words.odometer, each(({ distance }) => distance)], ...sums],
    ],
    [words.first, onlyIfSaid([words.know_first, each(({ firstWords }) => joined(firstWords))])],
    [words.tread, wheels("tires")],
    [words.lining, wheels("brakes")],
    [
      words.defects,
      [
        [words.stands, each(({ standing }) => standing)],
        ...(vehicles.some(({ attention }) => attention)
          ? [
              /** @type {ComparisonRow} */ ([
                words.attention,
                each(({ attention }) => attention ?? words.nothing_noted),
              ]),
            ]
          : []),
        [words.not_checked, each(({ unchecked }) => unchecked)],
        [words.promised, each(({ promised }) => promised)],
        ...stations.map(
          /** @returns {ComparisonRow} */ (station) => [
            station,
            each(
              (vehicle) => vehicle.stations.get(station) ?? vehicle.uncheckedAt.get(station) ?? words.none_disclosed,
            ),
          ],
        ),
        ...onlyIfSaid([words.not_looked_at, each(({ notLookedAt }) => notLookedAt)]),
      ],
    ],
    [words.papers, [...byLabel(({ papers }) => papers), [words.terms, each(({ terms }) => terms)]]],
    [words.costs, items],
    [words.equipment, mayFold(equipmentRows(vehicles, words))],
    [words.offer, mayFold([[words.kind, each(({ kind }) => kind)], ...byLabel(({ facts }) => facts)])],
  ];
}

// For one distance a year for all vehicles: the sums, the items in no sum, and the times of all items.
/** @param {ComparedVehicle[]} vehicles @param {ComparedChoice} choice @param {ComparisonWords} words */
function costRows(vehicles, { aYear, fromToday }, words) {
  const worked = vehicles.map(({ outlook, costs, stock }) => {
    const later = fromToday ? daysSince(outlook.counted_from) : 0;
    const chosen = chosenFor(stock);
    const found = outlookFor(outlook.facts, aYear, later, costs ? linesDone(costs, chosen) : []);
    return { carried: outlook, later, found, say: speaker(outlook), costs, chosen };
  });
  /** @param {Worked} worked */
  const isPriced = ({ carried }) => Object.keys(carried.costs).length > 0;
  /** @param {(found: Outlook) => Figure} figure */
  const figures = (figure) => worked.map((each) => (isPriced(each) ? each.say.figure(figure(each.found)) : null));
  /** @type {ComparisonRow[]} */
  const sums = [
    [words.sums[0], figures(({ firstYear }) => firstYear.due)],
    [words.sums[1], figures(({ noRecord }) => noRecord)],
    [words.sums[2], figures(({ firstYear }) => firstYear.total)],
    [words.three_years, figures(({ whole }) => whole.total)],
    ...inAllRows(worked, words),
    [words.not_included, worked.map(({ found, say }) => say.notIncluded(found.named))],
  ];
  const labels = allLabels(worked.map(({ carried, found }) => found.items.map(({ key }) => carried.items[key])));
  /** @type {ComparisonRow[]} */
  const items = labels.map((label) => {
    const each = worked.map(({ carried, found }) => found.items.find(({ key }) => carried.items[key] === label));
    const said = each.map((item, place) =>
      item
        ? [worked[place].say.when(item), worked[place].say.time(item, worked[place].later)].filter(Boolean).join("; ")
        : null,
    );
    const mayFold = each.every((item) => item && item.bandFrom !== "due now" && !item.budgetNow && !item.notMeasured);
    return [label, said, mayFold];
  });
  return { sums, items };
}

// What each costs in all, as its own page has it, with the work that the address names.
/** @param {Worked[]} worked @param {ComparisonWords} words @returns {ComparisonRow[]} */
function inAllRows(worked, words) {
  /** @param {(totals: Totals, amounts: Amounts) => string | null} part */
  const each = (part) =>
    worked.map(({ costs, chosen, found }) => {
      if (!costs) return null;
      const totals = totalsOf(costs, chosen, costs.upkeep && upkeepOf(found));
      return part(totals, amountsOf(costs));
    });
  /** @param {ComparisonRow} row @returns {ComparisonRow[]} */
  const onlyIfAny = (row) => (row[1].some((cell) => cell !== null) ? [row] : []);
  /** @param {number} cents @param {(cents: number) => string} say */
  const ifAny = (cents, say) => (cents > 0 ? say(cents) : null);
  return [
    ...onlyIfAny([words.work, each(({ work }, { money }) => ifAny(work, money))]),
    ...onlyIfAny([words.delivery, each(({ delivery }, { money }) => ifAny(delivery, money))]),
    [words.purchase, each(({ purchase }, { money }) => money(purchase))],
    [words.first_total, each(({ firstTotal }, { about }) => (firstTotal === null ? null : about(firstTotal)))],
    [words.three_total, each(({ threeTotal }, { about }) => (threeTotal === null ? null : about(threeTotal)))],
  ];
}

/** @param {ComparedVehicle[]} vehicles @param {ComparisonWords} words @returns {ComparisonRow[]} */
function equipmentRows(vehicles, words) {
  const { shared, own } = differences(vehicles.map(({ has }) => has));
  const lacks = vehicles.map((vehicle) => listOf(vehicle.lacks));
  /** @type {ComparisonRow[]} */
  const rows = [
    [words.only_some_have, own.map(listOf)],
    [words.lacks, lacks],
  ];
  return shared.length > 0 && vehicles.length > 1
    ? [[words.all_have, vehicles.map(() => listOf(shared))], ...rows]
    : rows;
}

/** @param {string[]} items */
function listOf(items) {
  if (items.length === 0) return null;
  const list = make("ul", { className: "comparison-list" });
  list.append(...items.map((item) => make("li", {}, item)));
  return list;
}

/** @param {Node[]} fragments */
function joined(fragments) {
  if (fragments.length === 0) return null;
  const all = document.createDocumentFragment();
  for (const fragment of fragments) {
    const words = make("p", {});
    words.append(fragment.cloneNode(true));
    all.append(words);
  }
  return all;
}

/** @param {string[]} stocks */
function withVehicles(stocks) {
  const address = new URL(location.href);
  address.searchParams.set(VEHICLES, stocks.join(","));
  return address.href;
}

/** @param {string} name @param {Record<string, unknown>} [properties] @param {string | null} [words] */
function make(name, properties, words) {
  const element = Object.assign(document.createElement(name), properties);
  if (words) element.textContent = words;
  return element;
}
