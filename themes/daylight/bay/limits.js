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

  function papersFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    const reading = whole(entries.odometer);
    const odometer = filled(say.odometer, { unit: vocabulary.units.distance });
    const first = `${Number(entries.year) - 1}-01-01`;
    const isDay = (day) => /^\d{4}-\d\d-\d\d$/.test(day || "") && day <= today && !(day < first);
    need("papers", odometer, reading !== null && Number(reading) <= vocabulary.most.odometer);
    need("papers", filled(say.day_fits, { what: say.read_on }), isDay(entries.read_on));
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

  function wheelFaults(entries, vocabulary, today, need) {
    const say = vocabulary.words;
    const fits = (text, most) =>
      !given(text) || (decimal(text) !== null && Number(decimal(text)) >= 0 && Number(decimal(text)) <= most);
    const size = (text) => !given(text) || given(text).length >= 5;
    need("wheel spare", say.placard_size, size(entries.placard_size));
    for (const wheel of [...vocabulary.wheels, vocabulary.spare]) {
      const step = `wheel ${wheel.key}`;
      const what = wheel.words;
      const tire = entries.tires?.[wheel.key] || {};
      const brake = entries.brakes?.[wheel.key] || {};
      need(step, filled(say.size_fits, { what }), size(tire.size));
      need(step, filled(say.date_code_fits, { what }), !tire.date_code || isDateCode(tire.date_code, today));
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

  const FLUIDS = ["tested", "rated", "volts", "moisture", "freezes_at"];
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
    const isMonth =
      /^\d{4}-(0[1-9]|1[0-2])$/.test(fitted || "") &&
      fitted <= today.slice(0, 7) &&
      Number(fitted.slice(0, 4)) >= Number(entries.year) - 1;
    need("fluids", filled(say.day_fits, { what: say.fitted_on }), !fitted || isMonth);
    const most = vocabulary.most[`paint_${entries.paint_unit || vocabulary.units.paint[0]}`];
    for (const panel of vocabulary.panels) {
      const readings = several(entries.paint?.[panel.key]);
      const fits = readings?.every((reading) => Number(reading) >= 0 && Number(reading) <= most) ?? false;
      need("fluids", filled(say.numbers_fit, { what: panel.words }), fits);
    }
  }

  function defectsFaults(entries, vocabulary, need) {
    const say = vocabulary.words;
    (entries.defects || []).forEach((defect, place) => {
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
    offerFaults(entries, vocabulary, need);
    return lacks;
  }

  // Entries that the page will call not measured, not checked or not noted

  function unmeasured(entries, vocabulary, lack) {
    const say = vocabulary.words;
    for (const wheel of vocabulary.wheels) {
      const step = `wheel ${wheel.key}`;
      const tire = entries.tires?.[wheel.key] || {};
      if (![...TREAD, "size", "date_code"].every((key) => tire[key]))
        lack(step, filled(say.step_tire, { what: wheel.words }));
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
    const asked = [
      "tested",
      "rated",
      "moisture",
      "freezes_at",
      ...(isDrivenByBattery(entries, vocabulary) ? ["health"] : []),
    ];
    for (const key of asked) if (!entries.fluids?.[key]) lack("fluids", fluidWords(key, vocabulary));
  }

  function unchecked(entries, vocabulary, lack) {
    const say = vocabulary.words;
    const points = pointsOf(entries, vocabulary);
    const open = points.filter((point) => !entries.checks?.[point.key]?.finding);
    if (open.length) lack(`checks ${open[0].station}`, filled(say.unchecked, { count: open.length }));
    for (const point of points) {
      const check = entries.checks?.[point.key];
      if (check?.finding === "attention" && !given(check.note)) {
        lack(`checks ${point.station}`, filled(say.no_words, { what: point.words }));
      }
    }
  }

  /** [{step, words}], in the order of the walk. */
  function mayHave(entries, vocabulary) {
    const say = vocabulary.words;
    const lacks = [];
    const lack = (step, words) => lacks.push({ step, words });
    if (!entries.brand) lack("papers", say.brand);
    if (!entries.recalls) lack("papers", say.recalls);
    unmeasured(entries, vocabulary, lack);
    unchecked(entries, vocabulary, lack);
    if (!(entries.defects || []).length && !entries.no_defects) lack("defects", say.unsaid_defects);
    (entries.defects || []).forEach((defect, place) => {
      const what = filled(say.defect, { number: place + 1 });
      if (!given(defect.words)) lack("defects", filled(say.no_words, { what }));
      if (!defect.close) lack("defects", filled(say.no_photo, { what }));
    });
    if (!given(entries.price)) lack("offer", filled(say.price, { currency: vocabulary.units.currency }));
    return lacks;
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
   * What the gate would hold back until the store says what it will do: [{step, where, words}]. `where` is the place in
   * the record, as the gate calls it; a test holds both against each other.
   */
  function holds(entries, vocabulary) {
    const say = vocabulary.words;
    const held = [];
    const hold = (step, where, words, what) => held.push({ step, where, words: filled(words, { what }) });
    const isBelow = (ruler, value) => ruler.some((mark) => mark.value === value && mark.below);
    for (const wheel of vocabulary.wheels) {
      const step = `wheel ${wheel.key}`;
      const tire = entries.tires?.[wheel.key] || {};
      const place = lowest(wheel.tread, tire, TREAD);
      if (isBelow(wheel.tread, tire[place]))
        hold(step, `tires.${wheel.key}.tread.${place}`, say.hold_tread, wheel.words);
      const brake = entries.brakes?.[wheel.key] || {};
      if (!brake.kind) continue;
      const side = lowest(wheel.lining, brake, LININGS[brake.kind]);
      const linings = brake.kind === "drum" ? "shoes" : "pads";
      if (isBelow(wheel.lining, brake[side]))
        hold(step, `brakes.${wheel.key}.${linings}.${side}`, say.hold_lining, wheel.words);
      if (isBeyondDiscard(brake))
        hold(step, `brakes.${wheel.key}.${METAL[brake.kind]}`, say[`hold_${METAL[brake.kind]}`], wheel.words);
    }
    for (const point of pointsOf(entries, vocabulary)) {
      if (point.safety && entries.checks?.[point.key]?.finding === "attention") {
        hold(`checks ${point.station}`, `checks.${point.key}`, say.hold_check, point.words);
      }
    }
    (entries.defects || []).forEach((defect, place) => {
      const what = filled(say.defect, { number: place + 1 });
      const ends = vocabulary.kinds.some((kind) => kind.key === defect.kind && kind.ends);
      if (defect.affects === "safety") hold("defects", `defects.${place}.affects`, say.hold_defect, what);
      else if (ends) hold("defects", `defects.${place}.kind`, say.hold_tire, what);
    });
    return held;
  }

  return {
    pointsOf,
    mustHave,
    mayHave,
    holds,
    filled,
    cardSize,
    isDrivenByBattery,
    fluidWords,
    isBeyondDiscard,
    LININGS,
    METAL,
  };
})();
