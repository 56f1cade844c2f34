// Converts what was entered about a vehicle of the store to a visit: only what was looked at or changed. Pure.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.visit = (() => {
  const given = (text) => (text || "").trim();

  // Entries that the record has as one value: what was not entered of it is as it was.
  const WHOLE = [
    ["brand", "brand_words"],
    ["recalls", "recalls_words", "recalls_on"],
    ["terms", "warranty"],
  ];
  const WHOLE_OF_A_BRAKE = [
    ["rotor_discard", "rotor_discard_at"],
    ["drum_discard", "drum_discard_at"],
  ];

  /** Entries completed by known values where only a part of one value was entered. */
  function completed(entries, seen) {
    const whole = structuredClone(entries);
    const fill = (part, known, groups) => {
      for (const keys of groups)
        if (keys.some((key) => part[key])) for (const key of keys) part[key] ||= known?.[key];
    };
    fill(whole, seen, WHOLE);
    for (const [wheel, brake] of Object.entries(whole.brakes || {})) {
      if (!bay.known.isTouched(brake)) continue;
      fill(brake, seen.brakes?.[wheel], WHOLE_OF_A_BRAKE);
      brake.kind ||= seen.brakes?.[wheel]?.kind;
    }
    return whole;
  }

  /** A check as the record has it. One that is as it was keeps its note in every language, and what it refers to. */
  function checkOf(point, entry, known, language) {
    const before = (key) => known.raw.values[`checks.${point}.${key}`]?.[0];
    const isAsBefore = before("finding") === entry.finding;
    const said = (key) =>
      given(entry[key]) ? { [language]: given(entry[key]) } : isAsBefore ? before(key) : undefined;
    const more = {
      note: said("note"),
      affects: entry.affects || (isAsBefore ? before("affects") : undefined),
      because: said("because"),
      defect: isAsBefore ? before("defect") : undefined,
    };
    const stated = Object.entries(more).filter(([, value]) => value !== undefined);
    return stated.length ? { finding: entry.finding, ...Object.fromEntries(stated) } : entry.finding;
  }

  /** The known defects that were looked at, as the record has them. */
  function looked(entries, known, vocabulary, files) {
    const { language, units } = vocabulary;
    const spoken = (text) => (given(text) ? { [language]: given(text) } : undefined);
    return known.defects
      .filter(({ id }) => entries.looked?.[id]?.now)
      .map((defect) => {
        const entry = entries.looked[defect.id];
        const isGone = bay.known.isGone(entry);
        return bay.record.full({
          id: defect.id,
          now: entry.now,
          reason: entry.now === "not found" ? spoken(entry.reason) : undefined,
          size: isGone ? undefined : bay.record.said(entry.size, entry.unit || units.sizes[0]),
          affects: isGone ? undefined : entry.affects,
          because: isGone ? undefined : spoken(entry.because),
          words: isGone ? undefined : spoken(entry.words),
          done: entry.now === "put right" ? spoken(entry.done_words) : undefined,
          photos: bay.record.defectPhotos({ ...defect, ...entry }, defect.id, vocabulary, files),
        });
      });
  }

  /** Return {visit, files}: what to write, and [{name, photo}] for each photo that the visit names. */
  function visitOf(entries, known, vocabulary, moment) {
    const seen = bay.known.merged(entries, known);
    const whole = completed({ ...entries, read_on: entries.read_on || moment.slice(0, 10) }, seen);
    const { record, files } = bay.record.recordOf(whole, vocabulary, seen, known.defect_ids);
    const { stock, vin, status, inspection, checks, defects, ...rest } = record;
    const noted = Object.entries(entries.checks || {}).filter(([, entry]) => entry.finding);
    const lookedAt = looked(entries, known, vocabulary, files);
    const fresh = Array.isArray(defects) ? defects : [];
    if (rest.odometer?.reading === undefined && rest.odometer) {
      delete rest.odometer.read_on;
      if (!rest.odometer.statement) delete rest.odometer;
    }
    const visit = bay.record.full({
      on: moment,
      at: rest.odometer?.reading,
      by: inspection.by,
      gauges: isMeasured(rest) ? inspection.gauges : undefined,
      status: entries.status,
      ...rest,
      checks: noted.length
        ? Object.fromEntries(
            noted.map(([point, entry]) => [point, checkOf(point, entry, known, vocabulary.language)]),
          )
        : undefined,
      defects: lookedAt.length + fresh.length ? [...lookedAt, ...fresh] : undefined,
    });
    if (visit.status === "sold") visit.sold_on = moment.slice(0, 10);
    return { visit, files };
  }

  const isMeasured = (rest) => ["tires", "brakes", "battery", "brake_fluid", "paint"].some((key) => rest[key]);

  return { visitOf };
})();
