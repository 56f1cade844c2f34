// Lets a shopper set the distance they drive in a year: the outlook is worked out again on the page, by the same
// arithmetic that made it, and the figure is kept in the page's address so that a link carries it. The page counts from
// the day of the odometer reading; here it counts from the reader's own day, as soon as the reader moves on,
// before the section is in sight. The arithmetic is loaded then, and what says it is made then, so that a page begins
// without their weight.

import { loadScript } from "../page-frame/lazy-script.mjs";
import { moneyBars, timeBar } from "./outlook-bars.mjs";

const PARAMETER = "a-year";
const A_DAY = 24 * 60 * 60 * 1_000;
const load = () => loadScript("lazy-outlook.js");

/** Bring the control, and keep the section in step with it. */
export function enhance(section) {
  const find = (name) => section.querySelector(`.outlook-${name}`);
  const [form, number, slider, spoken] = [
    find("form"),
    find("number"),
    find("slider"),
    section.querySelector("output"),
  ];
  let carried, say;

  async function show(aYear) {
    const { outlookFor } = await load();
    carried ??= JSON.parse(find("facts").textContent);
    say ??= speaker(carried);
    const later = daysSince(carried.counted_from);
    const outlook = outlookFor(carried.facts, aYear, later);
    const list = section.querySelector(".outlook");
    for (const group of list.querySelectorAll(".outlook-group")) {
      const items = outlook.items.filter((item) => groupOf(item) === group.dataset.group);
      group.hidden = items.length === 0;
      list.append(
        group,
        ...items.map((item) => showItem(list.querySelector(`[data-key="${item.key}"]`), item, later, say)),
      );
    }
    const told = section.querySelector(".outlook-table tbody");
    for (const { key } of outlook.items)
      told.append(showTold(told.querySelector(`[data-line="${key}"]`), list.querySelector(`[data-key="${key}"]`)));
    const rows = [...outlook.years, outlook.whole];
    const bars = moneyBars(rows);
    section.querySelectorAll(".outlook-years tbody tr").forEach((row, place) => {
      const { least, most, plan } = rows[place];
      const cells = [least, ...(plan ? [plan.about] : []), most].map(say.money);
      if (plan) cells[1] = say.words("plan_cost", { about: cells[1] });
      for (const [number, words] of cells.entries())
        (row.cells[number + 1].querySelector("strong") ?? row.cells[number + 1]).textContent = words;
    });
    for (const [place, year] of section.querySelectorAll(".outlook-year").entries())
      showYear(year, rows[place], bars[place], say);
    const plan = find("plan");
    if (plan) {
      find("plan-first").textContent = say.planned("plan_first_year", outlook.years[0]);
      find("plan-whole").textContent = say.planned("plan_whole", outlook.whole);
    }
    const first = document.querySelector(".first-plan");
    if (first && outlook.years[0].plan) first.textContent = planInBrief(say, outlook.years[0].plan.about);
    find("left-out").replaceChildren(...say.leftOut(outlook.leftOut).map(listItem));
    find("introduction").textContent = say.introduction(aYear, later);
    return outlook;
  }

  async function follow(from, to) {
    const aYear = from.valueAsNumber;
    if (!isWhole(from)) return;
    to.value = aYear;
    keepInAddress(aYear);
    const outlook = await show(aYear);
    spoken.textContent = say.announced(outlook, aYear);
  }

  number.addEventListener("input", () => follow(number, slider));
  slider.addEventListener("input", () => follow(slider, number));
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("focusin", load);
  section.querySelector(".outlook").addEventListener("click", (event) => showGround(section, event));
  form.hidden = false;

  const wanted = Number(new URLSearchParams(location.search).get(PARAMETER));
  if (Number.isInteger(wanted) && wanted >= Number(number.min) && wanted <= Number(number.max)) {
    number.value = slider.value = wanted;
    show(wanted);
    return;
  }
  const count = () => isWhole(number) && show(number.valueAsNumber);
  addEventListener("scroll", count, { once: true, passive: true });
  // The browser tells where the section stands once it knows; to ask for it here would have all be laid out at once.
  const placed = new IntersectionObserver(([{ boundingClientRect }]) => {
    placed.disconnect();
    if (boundingClientRect.top < innerHeight) count();
  });
  placed.observe(section);
}

// The steps are for the arrow keys alone.
function isWhole(field) {
  return field.checkValidity() || (field.validity.stepMismatch && Number.isInteger(field.valueAsNumber));
}

/** Return whole days from a day to that of the reader; a clock that runs before it counts from it as well. */
export function daysSince(day) {
  const today = new Date();
  return Math.max(
    Math.round((Date.UTC(today.getFullYear(), today.getMonth(), today.getDate()) - Date.parse(day)) / A_DAY),
    0,
  );
}

function showItem(line, item, later, say) {
  line.querySelector(".outlook-band").textContent = say.when(item);
  line.querySelector(".outlook-time").textContent = say.time(item, later);
  const distance = line.querySelector(".outlook-distance");
  if (distance) distance.hidden = item.byTime || item.bandTo === "due now";
  const bar = timeBar(item.months);
  line.querySelector(".outlook-drawing").classList.toggle("outlook-no-bar", !bar);
  if (bar) draw(line.querySelector(".outlook-bar"), bar);
  return line;
}

function groupOf({ bandFrom, budgetNow }) {
  if (budgetNow) return "no_record";
  return { "due now": "now", "no basis to say": "no_basis" }[bandFrom] ?? "coming";
}

function showYear(year, { least, most, plan }, bar, say) {
  const tell = (name, words) => (year.querySelector(`.outlook-year-${name}`).textContent = words);
  tell("least", say.money(least));
  tell("most", say.money(most));
  tell("about", plan ? say.words("plan_cost", { about: say.money(plan.about) }) : "");
  draw(year.querySelector(".outlook-bar"), bar);
  year.querySelector(".outlook-about-mark")?.setAttribute("d", `M${bar.about} 0v14`);
}

function draw(bar, { x, width }) {
  bar.setAttribute("x", x);
  bar.setAttribute("width", width);
}

// The table says what the line says.
function showTold(row, line) {
  const words = [...line.querySelectorAll(".outlook-when > :not([hidden])")].map(({ textContent }) => textContent);
  row.querySelector(".outlook-told").textContent = words.filter(Boolean).join(" ");
  return row;
}

// A tap on a line shows there what it rests on. By keyboard the table is one stop away, and no line is a stop of its own.
function showGround(section, { target }) {
  if (target.closest(".ask-folded, .explained")) return;
  const line = target.closest(".outlook-line");
  const shown = line?.querySelector(".outlook-ground-here");
  if (!line || shown) return shown?.remove();
  const here = document.createElement("div");
  here.className = "outlook-ground-here small soft";
  const row = section.querySelector(`[data-line="${line.dataset.key}"]`);
  here.append(
    `${row.querySelector(".outlook-told").textContent}. `,
    ...row.querySelector(".outlook-ground").cloneNode(true).childNodes,
  );
  line.append(here);
}

// The first screen names the same figure.
function planInBrief(say, about) {
  return say.words("plan_in_brief", { about: say.words("plan_cost", { about: say.money(about) }) });
}

function listItem(words) {
  const item = document.createElement("li");
  item.textContent = words;
  return item;
}

// Only the first letter: DEF stays as it is.
const withinASentence = (name) => name.charAt(0).toLowerCase() + name.slice(1);

function keepInAddress(aYear) {
  const address = new URL(location.href);
  address.searchParams.set(PARAMETER, aYear);
  history.replaceState(null, "", address);
}

/** Return what says what was worked out, in the words and number forms of the page's language and country. */
export function speaker({
  words,
  bands,
  items: names,
  currency,
  locale,
  facts,
  counted_from: start,
  list,
  left_out: reasons,
}) {
  const number = new Intl.NumberFormat(locale);
  const money = (cents) =>
    new Intl.NumberFormat(locale, {
      style: "currency",
      currency,
      minimumFractionDigits: cents % 100 === 0 ? 0 : 2,
      maximumFractionDigits: cents % 100 === 0 ? 0 : 2,
    }).format(cents / 100);
  const fill = (text, figures) => text.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
  const listed = (items) =>
    items.length < 2
      ? items.join("")
      : fill(list.last, { first: items.slice(0, -1).join(list.comma), last: items.at(-1) });
  const distance = (value) => `${number.format(value)}\u00a0${facts.unit}`;
  const inMonths = new Intl.NumberFormat(locale, { style: "unit", unit: "month", unitDisplay: "long" });
  const date = (days, how) =>
    new Intl.DateTimeFormat(locale, { timeZone: "UTC", ...how }).format(new Date(Date.parse(start) + days * A_DAY));
  // Months of the calendar, of days that count from the odometer reading.
  const calendar = ([low, high], later) => {
    const month = (days) => date(days, { month: "long" });
    const monthOfYear = (days) => date(days, { month: "long", year: "numeric" });
    if (high === null) return low > later ? fill(words.from_month, { month: monthOfYear(low) }) : "";
    if (low <= later) return fill(words.until_month, { month: monthOfYear(high) });
    if (monthOfYear(low) === monthOfYear(high)) return fill(words.in_month, { month: monthOfYear(high) });
    const sameYear = date(low, { year: "numeric" }) === date(high, { year: "numeric" });
    return fill(words.between_months, { first: sameYear ? month(low) : monthOfYear(low), last: monthOfYear(high) });
  };
  const planned = (key, cost) => {
    const {
      about,
      likely: [low, high],
    } = cost.plan;
    return fill(words[key], { about: money(about), low: money(low), high: money(high) });
  };
  return {
    words: (key, figures) => fill(words[key], figures),
    distance,
    money,
    planned,
    cost: (cost) => {
      if (cost.middle === null) return fill(words.no_plan_cost, { least: money(cost.least), most: money(cost.most) });
      return cost.likely
        ? planned("plan_cost_likely", cost)
        : fill(words.plan_cost, { about: money(cost.plan.about) });
    },
    announced: ({ years, whole }, aYear) => {
      if (whole.middle === null)
        return fill(words.announced_no_plan, {
          distance: distance(aYear),
          least: money(whole.least),
          most: money(whole.most),
        });
      const [first, all] = [years[0], whole].map((cost) => money(cost.plan.about));
      return fill(words.announced, { distance: distance(aYear), first, whole: all });
    },
    leftOut: (leftOut) => {
      const keysOf = (reason) => leftOut[reason.replace(/_(\w)/g, (_, letter) => letter.toUpperCase())];
      const said = reasons.filter((reason) => keysOf(reason).length > 0);
      return said.map((reason) =>
        fill(words[`left_out_${reason}`], {
          items: listed(keysOf(reason).map((key) => withinASentence(names[key]))),
        }),
      );
    },
    when: ({ bandFrom, bandTo, budgetNow }) => {
      if (budgetNow) return words.budget_now;
      return bandFrom === bandTo
        ? bands[bandFrom]
        : fill(words.from_to, { first: bands[bandFrom], last: bands[bandTo].toLocaleLowerCase(locale) });
    },
    introduction: (aYear, later) =>
      fill(later > 0 ? words.introduction_today : words.introduction, {
        distance: distance(aYear),
        day: date(later, { dateStyle: "long" }),
      }),
    time: ({ key, months, bandFrom, bandTo, budgetNow, byTime }, later) => {
      if (bandTo === "due now" || budgetNow || months === null) return "";
      if (byTime) return calendar(facts.items.find((item) => item.key === key).days, later);
      if (bandFrom === "due now") return "";
      const [low, high] = months;
      if (low === 0 && high !== null) return fill(words.months_within, { months: inMonths.format(high) });
      if (low === high) return fill(words.months_same, { months: inMonths.format(low) });
      return fill(high === null ? words.months_open : words.months, {
        low: number.format(low),
        high: high === null ? "" : number.format(high),
      });
    },
  };
}
