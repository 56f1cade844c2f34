// How far readers drive in a year, and whether they count from today: kept in the page's address, and carried along from
// page to page. Nothing is kept on the device.

const [A_YEAR, FROM, TODAY] = ["a-year", "from", "today"];
const A_DAY = 24 * 60 * 60 * 1_000;

/** Return what the page's address says: {aYear, fromToday}; a distance that the field does not allow is null. */
export function choiceIn(field) {
  const parameters = new URLSearchParams(location.search);
  const wanted = Number(parameters.get(A_YEAR));
  const isFit = Number.isInteger(wanted) && wanted >= Number(field.min) && wanted <= Number(field.max);
  return { aYear: isFit ? wanted : null, fromToday: parameters.get(FROM) === TODAY };
}

/** Keep a choice in the page's address. */
export function keepChoice({ aYear, fromToday }) {
  const address = new URL(location.href);
  if (aYear !== null) address.searchParams.set(A_YEAR, aYear);
  if (fromToday) address.searchParams.set(FROM, TODAY);
  else address.searchParams.delete(FROM);
  history.replaceState(null, "", address);
}

/** Carry the choice along whenever a link leads to another page of this site. */
export function carryChoice(page) {
  const carry = ({ target }) => {
    const link = target.closest?.("a[href]");
    const own = new URLSearchParams(location.search);
    if (!link || !(own.has(A_YEAR) || own.has(FROM))) return;
    const address = new URL(link.href);
    const isPage = link.origin === location.origin && !link.hasAttribute("download") && link.protocol !== "mailto:";
    if (!isPage || (address.pathname === location.pathname && address.search === location.search)) return;
    for (const name of [A_YEAR, FROM])
      if (own.has(name) && !address.searchParams.has(name)) address.searchParams.set(name, own.get(name) ?? "");
    link.href = address.href;
  };
  page.addEventListener("click", carry);
  page.addEventListener("auxclick", carry);
}

/** Return whole days from a day to that of the reader; a clock that runs before it counts from it as well. */
export function daysSince(day) {
  const today = new Date();
  return Math.max(
    Math.round((Date.UTC(today.getFullYear(), today.getMonth(), today.getDate()) - Date.parse(day)) / A_DAY),
    0,
  );
}
