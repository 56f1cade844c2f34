// Finds missing and invalid entries, and entries that the gate would hold. Pure: entries and vocabulary in, lists out.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.limits = (() => {
  const { whole, decimal, several } = bay.numbers;
  const filled = (words, figures) => words.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
  const given = (text) => (text || "").trim();
  const TREAD = ["outer", "center", "inner"];
  const LININGS = { disc: ["inner", "outer"], drum: ["leading", "trailing"] };
  const METAL = { disc: "rotor", drum: "drum" };

  /** The check points that a vehicle of this body, drive and fuel has: as the reader's CheckPoint.applies_to. */
  function pointsOf(entries, vocabulary) {
    const traits = [entries.body, entries.drive, entries.fuel];
    const meets = (list) => list.some((trait) => traits.includes(trait));
    return vocabulary.points.filter(
      (point) => (!point.only_for.length || meets(point.only_for)) && !meets(point.not_for),
    );
  }

  /** The wheels on the ground: two on each side of the rear axle where it is so. */
  const wheelsOf = (entries, vocabulary) =>
    entries.dual_rear === "dual" ? [...vocabulary.wheels, ...vocabulary.inner_wheels] : vocabulary.wheels;

  /** Return why a card in a photo gives no size, or the size in millimeters, or null if no card is marked. */
  function cardSize(photo, vocabulary) {
    if (!photo?.card) return null;
    return bay.sizeByCard(photo.card, photo.span, photo.width, photo.height, vocabulary.card);
  }

  // Errors

  function vinFaults(entries, vocabulary) {
    const say = vocabulary.words;
    const vin = entries.vin || "";
    const digit = bay.vin.checkDigit(vin);
    const isRequired = vocabulary.check_digit_is_required;
    const year = bay.vin.modelYear(vin);
    if (digit === null || (isRequired && digit !== vin[8])) return [say.vin];
    if (!isRequired || !entries.year) return [];
    if (!year) return [say.vin_no_year];
    return String(year) === entries.year ? [] : [filled(say.year_fits, { year })];
  }

  function vehicleFaults(entries, vocabulary, need) {
    const say = vocabulary.words;
    const needed = (key, words = say[key]) => need("vehicle", words, given(entries[key]));
    const stock = entries.stock || "";
    need("vehicle", say.stock_fits, /^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$/.test(stock) && stock.length <= 40);
    for (const fault of vinFaults(entries, vocabulary)) need("vehicle", fault, false);
    need("vehicle", say.year, /^(19|20)\d\d$/.test(entries.year || ""));
    for (const key of ["make", "model", "body", "drive", "fuel", "terms"]) needed(key);
    if (entries.terms === "warranty") needed("warranty", say.warranty_words);
    for (const [key, least, most] of [
      ["doors", 1, 7],
      ["seats", 1, 20],
    ]) {
      const number = whole(entries[key]);
      const fits = number !== null && Number(number) >= least && Number(number) <= most;
      need("vehicle", filled(say.number_fits, { what: say[key] }), !given(entries[key]) || fits);
    }
  }

  /** Whether a vehicle may be exempt from the statement, by its age or its weight: 49 CFR 580.17(a), as in the reader. */
  function mayBeExempt(entries, rule) {
    const pounds = whole(entries.gross_weight_pounds);
    if (!rule || pounds === null || Number(pounds) > rule.above_pounds) return true;
    const year = Number(entries.year);
    const isOlder = year <= rule.older_model_years_to;
    const years = isOlder ? rule.older_exempt_after_years : rule.newer_exempt_after_years;
    return `${year + years}-01-01` <= (entries.read_on || "9999");
  }

  function papersFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    const reading = whole(entries.odometer);
    const odometer = filled(say.odometer, { unit: vocabulary.units.distance });
    const first = `${Number(entries.year) - 1}-01-01`;
    const isDay = (day) => /^\d{4}-\d\d-\d\d$/.test(day || "") && day <= today && !(day < first);
    need("today", odometer, reading !== null && Number(reading) <= vocabulary.most.odometer);
    need("today", filled(say.day_fits, { what: say.read_on }), isDay(entries.read_on));
    need("papers", say.statement_fits, entries.statement !== "exempt" || mayBeExempt(entries, vocabulary.exemption));
    if (entries.brand === "some") {
      const brand = given(entries.brand_words);
      need("papers", say.brand_words, brand && brand.toLowerCase() !== "none");
    }
    if (entries.recalls === "some") need("papers", say.recalls_words, given(entries.recalls_words));
    if (entries.recalls) need("papers", filled(say.day_fits, { what: say.recalls_on }), isDay(entries.recalls_on));
  }

  /** A date code: week and year, of a week that has begun, or "not visible". As the reader's check of 49 CFR 574.5. */
  function isDateCode(code, today) {
    if (code === "not visible") return true;
    if (!/^\d{3,4}$/.test(code) || Number(code.slice(0, 2)) < 1 || Number(code.slice(0, 2)) > 53) return false;
    if (code.length === 3) return true;
    const year = code.slice(2) === "99" ? 1999 : 2000 + Number(code.slice(2));
    // Week 1 holds January 4; a week begins on Monday (ISO 8601).
    const fourth = new Date(Date.UTC(year, 0, 4));
    const monday = Date.UTC(year, 0, 4 - ((fourth.getUTCDay() + 6) % 7) + 7 * (Number(code.slice(0, 2)) - 1));
    return new Date(monday).toISOString().slice(0, 10) <= today;
  }

  /** A day, a month or a year that has begun, or nothing. */
  const isMonth = (text, today) =>
    !given(text) ||
    (/^\d{4}(-(0[1-9]|1[0-2])(-\d\d)?)?$/.test(text) && text <= today.slice(0, text.length) && text >= "1900");

  /** A mark of a ruler as a number, in its own unit: 7 of "7/32 in". */
  const depth = (mark) => Number.parseFloat(mark);

  function billFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    (entries.bills || []).forEach((bill, place) => {
      const what = filled(say.bill, { number: place + 1 });
      const isUsed = Object.values(bill.services || {}).some(Boolean);
      const at = whole(bill.at);
      need(
        "services",
        filled(say.fitted_fits, { what }),
        !given(bill.at) || (at !== null && Number(at) <= Number(whole(entries.odometer) ?? vocabulary.most.odometer)),
      );
      need("services", filled(say.day_fits, { what }), isMonth(bill.on, today));
      need("services", filled(say.bill_when, { what }), !isUsed || given(bill.on) || given(bill.at));
    });
  }

  function wheelFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    const fits = (text, most) =>
      !given(text) || (decimal(text) !== null && Number(decimal(text)) >= 0 && Number(decimal(text)) <= most);
    const size = (text) => !given(text) || given(text).length >= 5;
    need("wheel spare", say.placard_size, size(entries.placard_size));
    need("wheel spare", say.placard_size_rear, size(entries.placard_size_rear));
    for (const wheel of [...wheelsOf(entries, vocabulary), vocabulary.spare]) {
      const step = `wheel ${wheel.key}`;
      const what = wheel.words;
      const tire = entries.tires?.[wheel.key] || {};
      const brake = entries.brakes?.[wheel.key] || {};
      need(step, filled(say.size_fits, { what }), size(tire.size));
      need(step, filled(say.date_code_fits, { what }), !tire.date_code || isDateCode(tire.date_code, today));
      for (const part of [tire, brake]) {
        const at = whole(part.fitted_at);
        const isSound = at !== null && Number(at) <= (whole(entries.odometer) ?? vocabulary.most.odometer);
        need("wear", filled(say.fitted_fits, { what }), !given(part.fitted_at) || isSound);
        need("wear", filled(say.day_fits, { what: `${what}: ${say.fitted_month}` }), isMonth(part.fitted_on, today));
      }
      const isNewest = (part, now, then) =>
        !part[then] || now.every((place) => !part[place] || depth(part[place]) <= depth(part[then]));
      const linings = LININGS[brake.kind] || [];
      need(
        "wear",
        filled(say.new_fits, { what }),
        isNewest(tire, TREAD, "new_tread") && isNewest(brake, linings, "new_lining"),
      );
      const pressure = filled(say.pressure, { unit: vocabulary.units.pressure });
      need(
        step,
        filled(say.number_fits, { what: `${what}: ${pressure}` }),
        fits(tire.pressure, vocabulary.most.pressure),
      );
      if (!brake.kind) continue;
      const metal = METAL[brake.kind];
      need(
        step,
        filled(say.number_fits, { what: `${what}: ${say[`metal_${metal}`]}` }),
        fits(brake[metal], vocabulary.most.metal),
      );
      if (brake[`${metal}_discard`] !== "marked") continue;
      const discard = brake[`${metal}_discard_at`];
      need(
        step,
        filled(say.number_fits, { what: `${what}: ${say.discard_at}` }),
        given(discard) && fits(discard, vocabulary.most.metal),
      );
    }
  }

  const FLUIDS = ["tested", "rated", "volts", "moisture", "boils_at", "freezes_at"];
  const OF_TRACTION_BATTERY = ["health", "range"];
  const isDrivenByBattery = (entries, vocabulary) => vocabulary.driven_by_battery.includes(entries.fuel);
  const fluidWords = (key, vocabulary) =>
    filled(vocabulary.words[key], {
      unit: key === "range" ? vocabulary.units.distance : vocabulary.units.temperature,
    });

  function fluidsFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    const fluids = entries.fluids || {};
    const asked = isDrivenByBattery(entries, vocabulary) ? [...FLUIDS, ...OF_TRACTION_BATTERY] : FLUIDS;
    for (const key of asked) {
      const number = decimal(fluids[key]);
      const mayBeBelow = key === "freezes_at";
      const fits =
        number !== null && Math.abs(Number(number)) <= vocabulary.most[key] && (mayBeBelow || Number(number) >= 0);
      need("fluids", filled(say.number_fits, { what: fluidWords(key, vocabulary) }), !given(fluids[key]) || fits);
    }
    const rested = whole(fluids.rested);
    need(
      "fluids",
      filled(say.number_fits, { what: say.rested }),
      !given(fluids.rested) || (rested !== null && Number(rested) <= 1000),
    );
    const fitted = fluids.fitted_on;
    const isSound = isMonth(fitted, today) && Number(fitted?.slice(0, 4)) >= Number(entries.year) - 1;
    need("fluids", filled(say.day_fits, { what: say.fitted_on }), !fitted || isSound);
    const most = vocabulary.most[`paint_${entries.paint_unit || vocabulary.units.paint[0]}`];
    for (const panel of vocabulary.panels) {
      const readings = several(entries.paint?.[panel.key]);
      const fits = readings?.every((reading) => Number(reading) >= 0 && Number(reading) <= most) ?? false;
      need("fluids", filled(say.numbers_fit, { what: panel.words }), fits);
    }
  }

  const freshDefects = (entries) => (entries.defects || []).filter(({ known }) => !known);

  function defectsFaults(entries, vocabulary, need) {
    const say = vocabulary.words;
    freshDefects(entries).forEach((defect, place) => {
      const what = filled(say.defect, { number: place + 1 });
      const whole = defect.station && defect.kind && defect.affects && given(defect.part);
      need("defects", `${what}: ${[say.part, say.kind, say.affects].join(", ")}`, whole);
      const fits = (text, most) =>
        !given(text) || (decimal(text) !== null && Number(decimal(text)) >= 0 && Number(decimal(text)) <= most);
      const unit = defect.unit || vocabulary.units.sizes[0];
      need("defects", filled(say.number_fits, { what }), fits(defect.size, vocabulary.most[`size_${unit}`]));
      need(
        "defects",
        filled(say.number_fits, { what: `${what}: ${say.rusted}` }),
        fits(defect.rusted, vocabulary.most.rusted),
      );
      if (defect.done === "told") need("defects", `${what}: ${say.done_words}`, given(defect.done_words));
      const card = cardSize(defect.close, vocabulary);
      const [one, other] = defect.close?.span || [{}, { x: 1 }];
      const isPoint = one.x === other.x && one.y === other.y;
      need("defects", `${what}: ${vocabulary.card_words.crossed}`, card?.refused !== "crossed");
      need("defects", `${what}: ${vocabulary.card_words.uncertain}`, !isPoint);
    });
  }

  function offerFaults(entries, vocabulary, need) {
    const say = vocabulary.words;
    const price = whole(entries.price);
    const what = filled(say.price, { currency: vocabulary.units.currency });
    const fits = price !== null && Number(price) > 0 && price.length <= 7;
    need("offer", filled(say.number_fits, { what }), !given(entries.price) || fits);
    (entries.more || []).forEach(({ seen, words }, place) => {
      need("photos", `${filled(say.more_photo, { number: place + 1 })}: ${say.more_words}`, !seen || given(words));
    });
  }

  /** Return the errors that prevent saving: [{step, words}]. `today` is a day like 2026-10-04, by the device's clock. */
  function mustHave(entries, vocabulary, today) {
    const lacks = [];
    const need = (step, words, is) => is || lacks.push({ step, words });
    vehicleFaults(entries, vocabulary, need);
    papersFaults(entries, vocabulary, today, need);
    wheelFaults(entries, vocabulary, today, need);
    fluidsFaults(entries, vocabulary, today, need);
    defectsFaults(entries, vocabulary, need);
    billFaults(entries, vocabulary, today, need);
    offerFaults(entries, vocabulary, need);
    return lacks;
  }

  // Entries that the page will call not measured, not checked or not noted

  function unmeasured(entries, vocabulary, lack) {
    const say = vocabulary.words;
    for (const wheel of wheelsOf(entries, vocabulary)) {
      const step = `wheel ${wheel.key}`;
      const tire = entries.tires?.[wheel.key] || {};
      if (![...TREAD, "size", "date_code"].every((key) => tire[key]))
        lack(step, filled(say.step_tire, { what: wheel.words }));
      if (!vocabulary.wheels.includes(wheel)) continue;
      const brake = entries.brakes?.[wheel.key] || {};
      const asked = brake.kind && [...LININGS[brake.kind], METAL[brake.kind], `${METAL[brake.kind]}_discard`];
      if (!asked?.every((key) => brake[key])) lack(step, filled(say.step_brake, { what: wheel.words }));
    }
    if (
      !Object.values(entries.tires?.spare || {}).some(Boolean) &&
      entries.checks?.spare_and_jack?.finding !== "not fitted"
    ) {
      lack("wheel spare", say.no_spare);
    }
    if (!given(entries.placard_size)) lack("wheel spare", say.placard_size);
    const asked = [
      "tested",
      "rated",
      "fitted_on",
      "moisture",
      "freezes_at",
      ...(isDrivenByBattery(entries, vocabulary) ? ["health"] : []),
    ];
    for (const key of asked) if (!entries.fluids?.[key]) lack("fluids", fluidWords(key, vocabulary));
  }

  /** The services that a vehicle of this year, fuel, drive and gearbox has: as `suits` in the outlook. */
  function servicesOf(entries, vocabulary) {
    const has = (list, value) => !list || list.includes(value);
    const suits = (rule) =>
      has(rule.fuels, entries.fuel) &&
      has(rule.drives, entries.drive) &&
      has(rule.transmissions, entries.transmission) &&
      (!rule.from_year || Number(entries.year) >= rule.from_year) &&
      (!rule.belt || entries.timing === "belt");
    return vocabulary.services.filter(({ rules }) => rules.some(suits));
  }

  /** What the outlook needs, and nobody has said: how the parts wore so far, what was done when, what drives the valves. */
  function notNoted(entries, vocabulary, lack) {
    const say = vocabulary.words;
    if (!entries.transmission) lack("wear", say.transmission);
    if (!entries.timing && !isDrivenByBattery({ fuel: entries.fuel }, { driven_by_battery: vocabulary.no_timing }))
      lack("wear", say.timing);
    for (const { words, wheels } of vocabulary.axles) {
      const tires = wheels.map((wheel) => entries.tires?.[wheel] || {});
      if (!tires.every((tire) => tire.new_tread && (tire.fitted_at || tire.fitted_on)))
        lack("wear", filled(say.wear_tires, { what: words }));
      const brakes = wheels.map((wheel) => entries.brakes?.[wheel] || {});
      if (!brakes.every((brake) => brake.new_lining && (brake.fitted_at || brake.fitted_on)))
        lack("wear", filled(say.wear_brakes, { what: words }));
    }
    const done = new Set([
      ...(entries.known_services || []).map(({ service }) => service),
      ...(entries.bills || []).flatMap(({ services }) => Object.keys(services || {}).filter((key) => services[key])),
    ]);
    const open = servicesOf(entries, vocabulary).filter(({ key }) => !done.has(key));
    if (open.length) lack("services", filled(say.services_open, { what: open.map(({ words }) => words).join(", ") }));
    if (!given(entries.by)) lack("today", say.by);
    const isNoted = (key, none, list) => none || list?.length || entries.noted?.includes(key);
    if (!isNoted("work_done", entries.no_work, entries.work)) lack("work", say.work_done);
    const promises = [...(entries.promises || []), ...promisesBeside(entries)];
    if (!isNoted("before_delivery", entries.no_promises, promises)) lack("work", say.promises);
    if (!isNoted("additions", entries.no_additions)) lack("offer", say.additions);
  }

  /** The promises that stand beside what they answer. */
  function promisesBeside(entries) {
    const groups = [entries.tires, entries.brakes, entries.checks, entries.looked, entries.defects];
    return groups.flatMap((group) => Object.values(group || {})).filter(({ promise }) => promise);
  }

  function unchecked(entries, vocabulary, lack) {
    const say = vocabulary.words;
    const points = pointsOf(entries, vocabulary);
    const open = points.filter((point) => !entries.checks?.[point.key]?.finding);
    if (open.length) lack(`checks ${open[0].station}`, filled(say.unchecked, { count: open.length }));
    for (const point of points) {
      const check = entries.checks?.[point.key];
      if (check?.finding === "attention" && !given(check.note) && !check.defect) {
        lack(`checks ${point.station}`, filled(say.no_words, { what: point.words }));
      }
    }
  }

  /** What the page would call not noted, not measured or not checked: [{step, words}], in the order of the walk. */
  function mayHave(entries, vocabulary) {
    const say = vocabulary.words;
    const lacks = [];
    const lack = (step, words) => lacks.push({ step, words });
    unmeasured(entries, vocabulary, lack);
    unchecked(entries, vocabulary, lack);
    if (!(entries.defects || []).length && !entries.no_defects) lack("defects", say.unsaid_defects);
    (entries.defects || []).forEach((defect) => {
      const what = nameOf(defect, entries, vocabulary);
      if (!given(defect.words)) lack("defects", filled(say.no_words, { what }));
      if (!defect.close && !defect.photos?.length) lack("defects", filled(say.no_photo, { what }));
      if (!defect.done) lack("defects", `${what}: ${say.done}`);
    });
    if (!Object.values(entries.views || {}).some(Boolean) && !entries.known_photos?.length)
      lack("photos", say.step_photos);
    if (!entries.statement) lack("papers", say.statement);
    if (!entries.brand) lack("papers", say.brand);
    if (!entries.recalls) lack("papers", say.recalls);
    notNoted(entries, vocabulary, lack);
    if (!given(entries.price)) lack("offer", filled(say.price, { currency: vocabulary.units.currency }));
    return lacks;
  }

  /** The question about a price far from the one before: below a quarter or above four times it. "" if there is none. */
  function priceQuestion(text, before, vocabulary) {
    const [price, old] = [whole(text), whole(before)].map((number) => (number === null ? null : Number(number)));
    if (!price || !old) return "";
    const { least, most } = vocabulary.price_change;
    const isFar = price < old * least || price > old * most;
    return isFar ? filled(vocabulary.words.price_far, { old: before }) : "";
  }

  // Holds of the gate

  /** The first of several places that has the lowest mark of a ruler, or undefined where none was measured. */
  function lowest(ruler, part, places) {
    const rank = (place) => ruler.findIndex((mark) => mark.value === part[place]);
    const measured = places.filter((place) => part[place]);
    return measured.reduce(
      (least, place) => (least === undefined || rank(place) < rank(least) ? place : least),
      undefined,
    );
  }

  function isBeyondDiscard(brake) {
    const metal = METAL[brake.kind];
    const [measured, marked] = [decimal(brake[metal]), decimal(brake[`${metal}_discard_at`])];
    if (brake[`${metal}_discard`] !== "marked" || measured === null || marked === null) return false;
    return brake.kind === "drum" ? Number(measured) > Number(marked) : Number(measured) < Number(marked);
  }

  /**
   * Whether a promise answers what was noted: about a part (`renews`, such as tires.left_front) or a defect (`settles`, its
   * id), with the way it is put right. As promises_about in the gate.
   */
  function isPromised({ renews, settles }, entries) {
    return (entries.known_promises || []).some(
      (promise) =>
        promise.by &&
        (promise.settles.includes(settles) ||
          (renews && promise.renews.some((name) => renews === name || renews.startsWith(`${name}.`)))),
    );
  }

  const isAnswered = (promise) => Boolean(promise?.by && given(promise.what));

  /**
   * What the gate asks about: [{step, where, words, plain, isAnswered}]. `where` is the place in the record, as the gate
   * calls it; a test holds both against each other. `plain` are the words before {what} is filled in.
   */
  function concerns(entries, vocabulary) {
    const say = vocabulary.words;
    const found = [];
    const concern = (step, where, plain, what, isAnswered) =>
      found.push({ step, where, words: filled(plain, { what }), plain, isAnswered });
    const isBelow = (ruler, value) => ruler.some((mark) => mark.value === value && mark.below);
    const isKept = (part, about) => isAnswered(part.promise) || isPromised(about, entries);
    for (const wheel of wheelsOf(entries, vocabulary)) {
      const step = `wheel ${wheel.key}`;
      const tire = entries.tires?.[wheel.key] || {};
      const place = lowest(wheel.tread, tire, TREAD);
      if (isBelow(wheel.tread, tire[place])) {
        const answered = isKept(tire, { renews: `tires.${wheel.key}` });
        concern(step, `tires.${wheel.key}.tread.${place}`, say.hold_tread, wheel.words, answered);
      }
      const brake = entries.brakes?.[wheel.key] || {};
      if (!brake.kind) continue;
      const answered = isKept(brake, { renews: `brakes.${wheel.key}` });
      const side = lowest(wheel.lining, brake, LININGS[brake.kind]);
      const linings = brake.kind === "drum" ? "shoes" : "pads";
      if (isBelow(wheel.lining, brake[side]))
        concern(step, `brakes.${wheel.key}.${linings}.${side}`, say.hold_lining, wheel.words, answered);
      if (isBeyondDiscard(brake)) {
        const metal = METAL[brake.kind];
        concern(step, `brakes.${wheel.key}.${metal}`, say[`hold_${metal}`], wheel.words, answered);
      }
    }
    for (const point of pointsOf(entries, vocabulary)) {
      const check = entries.checks?.[point.key] || {};
      const isLess = check.affects && check.affects !== "safety" && given(check.because);
      const told = (entries.defects || []).find(({ known }) => known && known === check.defect);
      const decides = told && (point.by_defect || given(told.because) || given(check.because));
      const answered = isKept(check, { renews: `checks.${point.key}`, settles: check.defect });
      const isExpected = point.expected_from && Number(entries.year) >= point.expected_from;
      if (check.finding === "not fitted" && isExpected && !given(check.because))
        concern(`checks ${point.station}`, `checks.${point.key}`, say.hold_missing, point.words, answered);
      if (!point.safety || check.finding !== "attention" || isLess) continue;
      if (decides && (check.affects || told.affects) !== "safety") continue;
      concern(`checks ${point.station}`, `checks.${point.key}`, say.hold_check, point.words, answered);
    }
    (entries.defects || []).forEach((defect, place) => {
      const kind = vocabulary.kinds.find((one) => one.key === defect.kind);
      const what = nameOf(defect, entries, vocabulary);
      const answered = isKept(defect, { settles: defect.known });
      if (defect.affects === "safety")
        concern("defects", `defects.${place}.affects`, say.hold_defect, what, answered);
      else if (kind?.ends && !given(defect.because))
        concern("defects", `defects.${place}.kind`, say.hold_tire, what, answered);
    });
    return found;
  }

  /** What a defect is called: a known one by its kind and part, a new one by its number. */
  function nameOf(defect, entries, vocabulary) {
    const kind = vocabulary.kinds.find((one) => one.key === defect.kind);
    if (defect.known) return `${kind?.words || defect.kind}, ${defect.part}`;
    return filled(vocabulary.words.defect, { number: freshDefects(entries).indexOf(defect) + 1 });
  }

  /** What the gate would hold back until the store says what it will do. */
  const holds = (entries, vocabulary) => concerns(entries, vocabulary).filter((each) => !each.isAnswered);

  return {
    pointsOf,
    servicesOf,
    wheelsOf,
    isPromised,
    mustHave,
    mayHave,
    holds,
    priceQuestion,
    concerns,
    nameOf,
    filled,
    cardSize,
    isDrivenByBattery,
    fluidWords,
    isBeyondDiscard,
    LININGS,
    METAL,
  };
})();
