// What is missing yet, and what the gate would hold back. Pure: entries and vocabulary in, lists out.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.limits = (() => {
  const filled = (words, figures) => words.replace(/\{(\w+)\}/g, (_, name) => figures[name]);

  /** The check points that a vehicle of this body, drive and fuel has: as the reader's CheckPoint.is_had_by. */
  function pointsOf(entries, vocabulary) {
    const traits = [entries.body, entries.drive, entries.fuel];
    const meets = (list) => list.some((trait) => traits.includes(trait));
    return vocabulary.points.filter((point) => (!point.only_for.length || meets(point.only_for)) && !meets(point.not_for));
  }

  /** What keeps it from being saved: [{step, words}]. */
  function mustHave(entries, vocabulary) {
    const say = vocabulary.words;
    const lacks = [];
    const need = (step, words, is) => is || lacks.push({ step, words });
    const positive = (text) => Number(text) >= 0 && /^\d+$/.test(text);
    need("vehicle", say.stock_fits, /^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$/.test(entries.stock || "") && entries.stock.length <= 40);
    need("vehicle", say.vin, bay.vin.checkDigit(entries.vin || "") === (entries.vin || "")[8] && entries.vin);
    need("vehicle", say.year, /^(19|20)\d\d$/.test(entries.year || ""));
    for (const key of ["make", "model", "body", "drive", "fuel", "terms"]) need("vehicle", say[key], (entries[key] || "").trim());
    need("papers", filled(say.odometer, { unit: vocabulary.units.distance }), positive(entries.odometer || ""));
    need("papers", say.read_on, /^\d{4}-\d\d-\d\d$/.test(entries.read_on || ""));
    if (entries.brand === "some") need("papers", say.brand_words, (entries.brand_words || "").trim());
    for (const wheel of vocabulary.wheels) {
      const code = (entries.tires?.[wheel.key] || {}).date_code;
      need(`wheel ${wheel.key}`, filled(say.date_code_fits, { what: wheel.words }), !code || /^\d{4}$/.test(code));
    }
    for (const key of ["tested", "rated", "moisture", "freezes_at"]) {
      const said = (entries.fluids?.[key] || "").trim();
      const what = filled(say[key], { unit: vocabulary.units.temperature });
      need("fluids", filled(say.number_fits, { what }), !said || /^-?\d+(\.\d+)?$/.test(said));
    }
    (entries.defects || []).forEach((defect, place) => {
      const what = filled(say.defect, { number: place + 1 });
      const whole = defect.station && defect.kind && defect.affects && (defect.part || "").trim();
      need("defects", `${what}: ${[say.part, say.kind, say.affects].join(", ")}`, whole);
      const size = (defect.size || "").trim();
      need("defects", filled(say.number_fits, { what }), !size || /^\d+(\.\d+)?$/.test(size));
    });
    return lacks;
  }

  /** What the page will call not measured, not checked or not said: [{step, words}]. */
  function mayHave(entries, vocabulary) {
    const say = vocabulary.words;
    const lacks = [];
    for (const wheel of vocabulary.wheels) {
      const tire = entries.tires?.[wheel.key] || {};
      if (!tire.outer || !tire.center || !tire.inner || !tire.size || !tire.date_code) {
        lacks.push({ step: `wheel ${wheel.key}`, words: filled(say.step_tire, { what: wheel.words }) });
      }
      const brake = entries.brakes?.[wheel.key] || {};
      if (!brake.kind || !brake.first || !brake.second) {
        lacks.push({ step: `wheel ${wheel.key}`, words: filled(say.step_brake, { what: wheel.words }) });
      }
    }
    for (const key of ["tested", "rated", "moisture", "freezes_at"]) {
      if (!entries.fluids?.[key]) lacks.push({ step: "fluids", words: filled(say[key], { unit: vocabulary.units.temperature }) });
    }
    const points = pointsOf(entries, vocabulary);
    const open = points.filter((point) => !entries.checks?.[point.key]?.finding);
    if (open.length) lacks.push({ step: `checks ${open[0].station}`, words: filled(say.unchecked, { count: open.length }) });
    for (const point of points) {
      const check = entries.checks?.[point.key];
      if (check?.finding === "attention" && !(check.note || "").trim()) {
        lacks.push({ step: `checks ${point.station}`, words: filled(say.no_words, { what: point.words }) });
      }
    }
    if (!(entries.defects || []).length && !entries.no_defects) lacks.push({ step: "defects", words: say.unsaid_defects });
    (entries.defects || []).forEach((defect, place) => {
      const what = filled(say.defect, { number: place + 1 });
      if (!(defect.words || "").trim()) lacks.push({ step: "defects", words: filled(say.no_words, { what }) });
      if (!defect.close) lacks.push({ step: "defects", words: filled(say.no_photo, { what }) });
    });
    return lacks;
  }

  /** What the gate would hold back until the store says what it will do: [{step, words}]. */
  function holds(entries, vocabulary) {
    const say = vocabulary.words;
    const held = [];
    const isBelow = (ruler, value) => ruler.some((mark) => mark.value === value && mark.below);
    for (const wheel of vocabulary.wheels) {
      const tire = entries.tires?.[wheel.key] || {};
      if (["outer", "center", "inner"].some((place) => isBelow(wheel.tread, tire[place]))) {
        held.push({ step: `wheel ${wheel.key}`, words: filled(say.hold_tread, { what: wheel.words }) });
      }
      const brake = entries.brakes?.[wheel.key] || {};
      if (brake.kind && [brake.first, brake.second].some((value) => isBelow(wheel.lining, value))) {
        held.push({ step: `wheel ${wheel.key}`, words: filled(say.hold_lining, { what: wheel.words }) });
      }
    }
    for (const point of pointsOf(entries, vocabulary)) {
      if (point.safety && entries.checks?.[point.key]?.finding === "attention") {
        held.push({ step: `checks ${point.station}`, words: filled(say.hold_check, { what: point.words }) });
      }
    }
    (entries.defects || []).forEach((defect, place) => {
      const ends = vocabulary.kinds.some((kind) => kind.key === defect.kind && kind.ends);
      if (defect.affects === "safety" || ends) {
        held.push({ step: "defects", words: filled(say.hold_defect, { what: filled(say.defect, { number: place + 1 }) }) });
      }
    });
    return held;
  }

  return { pointsOf, mustHave, mayHave, holds, filled };
})();
