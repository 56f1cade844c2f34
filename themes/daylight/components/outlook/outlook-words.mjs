// Says what the outlook came to, in the words and number forms of the page's language and country: the very same words as
// outlook.py and upkeep.py of sitegen/pages/vehicle. Pure.

const A_DAY = 24 * 60 * 60 * 1_000;

/**
 * Return a function that puts an outlook into words. The argument is the page's data for its scripts.
 * @param {CarriedOutlook} carried
 */
export function speaker(carried) {
  const { words, bands, items: names, costs, currency, locale, facts, counted_from: start, list } = carried;
  // Grouped as the page groups them: in Spanish, `Intl` by itself groups no number of four digits.
  const number = new Intl.NumberFormat(locale, { useGrouping: true });
  /** @param {number} cents */
  const money = (cents) =>
    new Intl.NumberFormat(locale, {
      style: "currency",
      currency,
      useGrouping: true,
      minimumFractionDigits: cents % 100 === 0 ? 0 : 2,
      maximumFractionDigits: cents % 100 === 0 ? 0 : 2,
    }).format(cents / 100);
  /** @param {string} text @param {Texts} figures */
  const fill = (text, figures) => text.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
  /** @param {string[]} items */
  const listed = (items) =>
    items.length < 2
      ? items.join("")
      : fill(list.last, { first: items.slice(0, -1).join(list.comma), last: /** @type {string} */ (items.at(-1)) });
  /** @param {string[]} keys */
  const named = (keys) => keys.map((key) => withinASentence(names[key]));
  /** @param {number} value */
  const distance = (value) => `${number.format(value)}\u00a0${facts.unit}`;
  const inMonths = new Intl.NumberFormat(locale, { style: "unit", unit: "month", unitDisplay: "long" });
  /** @param {number} days @param {Intl.DateTimeFormatOptions} how */
  const date = (days, how) =>
    new Intl.DateTimeFormat(locale, { timeZone: "UTC", ...how }).format(new Date(Date.parse(start) + days * A_DAY));
  // Months of the calendar, of days that count from the odometer reading.
  /** @param {Span} span @param {number} later */
  const calendar = ([low, high], later) => {
    /** @param {number} days */
    const month = (days) => date(days, { month: "long" });
    /** @param {number} days */
    const monthOfYear = (days) => date(days, { month: "long", year: "numeric" });
    if (high === null) return low > later ? fill(words.from_month, { month: monthOfYear(low) }) : "";
    if (low <= later) return fill(words.until_month, { month: monthOfYear(high) });
    if (monthOfYear(low) === monthOfYear(high)) return fill(words.in_month, { month: monthOfYear(high) });
    const sameYear = date(low, { year: "numeric" }) === date(high, { year: "numeric" });
    return fill(words.between_months, { first: sameYear ? month(low) : monthOfYear(low), last: monthOfYear(high) });
  };
  /** @param {Span} months */
  const inBand = ([low, high]) => {
    if (high === null) return fill(words.months_open, { low: number.format(low) });
    if (low === 0) return fill(words.months_within, { months: inMonths.format(high) });
    if (low === high) return fill(words.months_same, { months: inMonths.format(low) });
    return fill(words.months, { low: number.format(low), high: number.format(high) });
  };
  /** @param {Figure} figure */
  const about = (figure) =>
    figure.high === 0 ? money(figure.about) : fill(words.about, { about: money(figure.about) });
  /** @param {Figure} figure */
  const likely = (figure) =>
    figure.high === 0 ? "" : fill(words.likely, { low: money(figure.low), high: money(figure.high) });
  /** @param {Figure} figure */
  const whole = (figure) =>
    figure.high === 0 ? money(0) : fill(words.figure, { about: about(figure), likely: likely(figure) });
  /** @type {Record<string, (named: Named) => string>} */
  const notes = {
    due: ({ notPriced }) => (notPriced.length > 0 ? fill(words.without, { items: listed(named(notPriced)) }) : ""),
    no_record: ({ noRecord: [first] }) =>
      first === undefined
        ? words.nothing_without_record
        : fill(words.most_expensive, { item: withinASentence(names[first]), cost: costs[first] }),
    total: () => "",
  };
  /** @param {Outlook} outlook */
  const sumsOf = ({ firstYear, noRecord }) => ({ due: firstYear.due, no_record: noRecord, total: firstYear.total });
  return {
    distance,
    figure: whole,
    /**
     * Return each sum: {key, about, likely, note}.
     * @param {Outlook} outlook
     */
    sums: (outlook) =>
      Object.entries(sumsOf(outlook)).map(([key, figure]) => ({
        key,
        about: about(figure),
        likely: likely(figure),
        note: notes[key](outlook.named),
      })),
    /** @param {Outlook} outlook */
    inBrief: ({ firstYear, noRecord }) =>
      fill(noRecord.high === 0 ? words.plan_in_brief : words.plan_in_brief_no_record, {
        due: about(firstYear.due),
        no_record: about(noRecord),
      }),
    /** @param {Outlook} outlook */
    rows: ({ firstYear, whole: three, noRecord }) =>
      [firstYear, three].map(({ due, total }) => [due, noRecord, total].map(whole)),
    /** @param {Outlook} outlook @param {number} aYear */
    announced: (outlook, aYear) => {
      const { due, no_record: noRecord, total } = sumsOf(outlook);
      return fill(words.announced, {
        distance: distance(aYear),
        due: about(due),
        no_record: about(noRecord),
        total: about(total),
      });
    },
    today: words.announced_today,
    /** @param {Named} named */
    notIncluded: ({ notPriced, noBasis }) =>
      [
        /** @type {const} */ ([words.not_included_no_price, notPriced]),
        /** @type {const} */ ([words.not_included_no_date, noBasis]),
      ]
        .filter(([, keys]) => keys.length > 0)
        .map(([text, keys]) => fill(text, { items: listed(named(keys)) }))
        .join(" "),
    /** @param {Named} named */
    notes: ({ notMeasured, atWorst, noRecord }) =>
      [
        /** @type {const} */ ([words.note_not_measured, notMeasured]),
        /** @type {const} */ ([words.note_at_worst, atWorst]),
        /** @type {const} */ ([words.note_no_record, noRecord]),
      ]
        .filter(([, keys]) => keys.length > 0)
        .map(([text, keys]) => fill(text, { items: listed(named(keys)) })),
    /** @param {OutlookItem} item */
    when: ({ key, bandFrom, bandTo, budgetNow, notMeasured }) => {
      if (budgetNow) return words.budget_now;
      if (notMeasured) return carried.unmeasured[key];
      return bandFrom === bandTo
        ? bands[bandFrom]
        : fill(words.from_to, { first: bands[bandFrom], last: bands[bandTo].toLocaleLowerCase(locale) });
    },
    /** @param {number} aYear @param {number} later */
    introduction: (aYear, later) =>
      fill(later > 0 ? words.introduction_today : words.introduction, {
        distance: distance(aYear),
        day: date(later, { dateStyle: "long" }),
      }),
    /** @param {OutlookItem} item @param {number} later */
    time: ({ key, months, bandFrom, bandTo, byTime, budgetNow }, later) => {
      if (bandTo === "due now" || months === null || budgetNow) return "";
      const { need } = /** @type {ItemFacts} */ (facts.items.find((item) => item.key === key));
      if (byTime) return calendar(/** @type {Span} */ (need.days), later);
      if (bandFrom !== "due now") return inBand(months);
      const isByAge = need.days !== null && need.days[0] <= later && (need.distance?.[0] ?? 0) > 0;
      return isByAge ? words.by_age_any_time : "";
    },
  };
}

// Only the first letter: DEF stays as it is.
/** @param {string} name */
const withinASentence = (name) => name.charAt(0).toLowerCase() + name.slice(1);
