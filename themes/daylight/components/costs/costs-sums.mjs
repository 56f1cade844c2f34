// Adds up what a vehicle costs in all. Pure: hundredths of the currency, as costs.py of sitegen/pages/vehicle/buying.

/**
 * Return {work, delivery, purchase, firstTotal, threeTotal}; the last two are null where upkeep has no price.
 * `chosen` is {work: [keys], delivery: miles or ""}; `upkeep` is that of the first year and of three, or null.
 * @param {CarriedCosts} costs
 * @param {Chosen} chosen
 * @param {number[] | null} upkeep
 */
export function totalsOf({ base, offers, delivery: prices }, chosen, upkeep) {
  const work = chosen.work.reduce((sum, key) => sum + (offers[key]?.cents ?? 0), 0);
  const delivery = prices[chosen.delivery] ?? 0;
  const purchase = base + work + delivery;
  const [firstTotal, threeTotal] = upkeep ? upkeep.map((cents) => purchase + cents) : [null, null];
  return { work, delivery, purchase, firstTotal, threeTotal };
}

/**
 * Return the keys of outlook lines that the chosen work answers.
 * @param {CarriedCosts} costs
 * @param {Chosen} chosen
 */
export function linesDone({ offers }, { work }) {
  return work.flatMap((key) => offers[key]?.lines ?? []);
}

/**
 * Return the upkeep of an outlook, as a page has it.
 * @param {Outlook} outlook
 */
export function upkeepOf({ firstYear, whole }) {
  return [firstYear.total.about, whole.total.about];
}

/**
 * Return what says amounts in the page's language: {money, about}.
 * @param {CarriedCosts} costs
 */
export function amountsOf({ locale, currency, about }) {
  /** @param {number} cents */
  const money = (cents) =>
    new Intl.NumberFormat(locale, {
      style: "currency",
      currency,
      minimumFractionDigits: cents % 100 === 0 ? 0 : 2,
      maximumFractionDigits: cents % 100 === 0 ? 0 : 2,
    }).format(cents / 100);
  return { money, about: (/** @type {number} */ cents) => about.replace("{about}", money(cents)) };
}
