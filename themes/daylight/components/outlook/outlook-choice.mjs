// The reader's choices: the distance a year, whether to count from today, the work to be done, and the distance of
// delivery. They are kept in the page's address and passed on from page to page. Nothing is stored on the device.

const [A_YEAR, FROM, TODAY] = ["a-year", "from", "today"];
const [WORK, DELIVERY] = ["work-", "delivery"];
const A_DAY = 24 * 60 * 60 * 1_000;

/**
 * Return the choice in the page's address: {aYear, fromToday}. A distance that the field does not allow is null.
 * @param {HTMLInputElement} field
 * @returns {Choice}
 */
export function choiceIn(field) {
  const parameters = new URLSearchParams(location.search);
  const wanted = Number(parameters.get(A_YEAR));
  const isFit = Number.isInteger(wanted) && wanted >= Number(field.min) && wanted <= Number(field.max);
  return { aYear: isFit ? wanted : null, fromToday: parameters.get(FROM) === TODAY };
}

/**
 * Keep a choice in the page's address.
 * @param {Choice} choice
 */
export function keepChoice({ aYear, fromToday }) {
  const address = new URL(location.href);
  if (aYear !== null) address.searchParams.set(A_YEAR, /** @type {any} */ (aYear));
  if (fromToday) address.searchParams.set(FROM, TODAY);
  else address.searchParams.delete(FROM);
  history.replaceState(null, "", address);
}

/**
 * Return what the page's address says of one vehicle: {work, delivery}, keys of work and whole miles, or "".
 * @param {string} stock
 * @returns {Chosen}
 */
export function chosenFor(stock) {
  const parameters = new URLSearchParams(location.search);
  const work = parameters.get(`${WORK}${stock}`)?.split(",").filter(Boolean) ?? [];
  return { work, delivery: parameters.get(DELIVERY) ?? "" };
}

/**
 * Keep in the page's address what is to be done on one vehicle, and how far it is to be delivered.
 * @param {string} stock
 * @param {Chosen} chosen
 */
export function keepChosen(stock, { work, delivery }) {
  const address = new URL(location.href);
  for (const [name, value] of [
    [`${WORK}${stock}`, work.join(",")],
    [DELIVERY, delivery],
  ])
    if (value === "") address.searchParams.delete(name);
    else address.searchParams.set(name, value);
  address.search = address.search.replaceAll("%2C", ",");
  history.replaceState(null, "", address);
}

/** @param {string} name */
const isCarried = (name) => [A_YEAR, FROM, DELIVERY].includes(name) || name.startsWith(WORK);

/**
 * Add the choice to every link to another page of this site.
 * @param {Document} page
 */
export function carryChoice(page) {
  /** @param {any} event a click, whose target may be the document */
  const carry = ({ target }) => {
    const link = target.closest?.("a[href]");
    const own = new URLSearchParams(location.search);
    const carried = [...own].filter(([name]) => isCarried(name));
    if (!link || carried.length === 0) return;
    const address = new URL(link.href);
    const isPage = link.origin === location.origin && !link.hasAttribute("download") && link.protocol !== "mailto:";
    if (!isPage || (address.pathname === location.pathname && address.search === location.search)) return;
    for (const [name, value] of carried) if (!address.searchParams.has(name)) address.searchParams.set(name, value);
    link.href = address.href;
  };
  page.addEventListener("click", carry);
  page.addEventListener("auxclick", carry);
}

/**
 * Return the whole days from a day to the reader's day, or 0 if the reader's clock is before it.
 * @param {string} day
 */
export function daysSince(day) {
  const today = new Date();
  return Math.max(
    Math.round((Date.UTC(today.getFullYear(), today.getMonth(), today.getDate()) - Date.parse(day)) / A_DAY),
    0,
  );
}
