// Entries as the record of inspection.yaml, and the names of the photos. Pure: nothing is said that nobody entered.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.record = (() => {
  const trimmed = (text) => (text || "").trim();
  const tidy = (number) => String(Number(number));
  const rounded = (place) => Math.round(place * 1000) / 1000;

  /** A copy without what is empty, or undefined where nothing is left. */
  function full(object) {
    const kept = Object.entries(object).filter(([, value]) => value !== undefined && value !== "" && value !== null);
    return kept.length ? Object.fromEntries(kept) : undefined;
  }

  function tire(entry = {}) {
    const tread = full({ outer: entry.outer, center: entry.center, inner: entry.inner });
    return full({ size: trimmed(entry.size), date_code: entry.date_code, tread });
  }

  function brake(entry = {}) {
    if (!entry.kind) return undefined;
    if (entry.kind === "disc") return full({ kind: "disc", pads: full({ inner: entry.first, outer: entry.second }) });
    return full({ kind: "drum", shoes: full({ leading: entry.first, trailing: entry.second }) });
  }

  function check(entry, language) {
    const note = trimmed(entry?.note);
    if (!entry?.finding) return "not checked";
    return note && entry.finding === "attention" ? { finding: entry.finding, note: { [language]: note } } : entry.finding;
  }

  const NAMED = { "image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic" };

  /** A photo as the record has it, and how its file is called in the zip. */
  function photo(entry, name, shows, language, files) {
    const file = `${name}.${NAMED[entry.type] || "jpg"}`;
    files.push({ name: file, photo: entry.photo });
    const mark = entry.mark && { x: rounded(entry.mark.x), y: rounded(entry.mark.y), r: rounded(entry.mark.r) };
    const cover = (entry.cover || []).map((box) => ({ x: rounded(box.x), y: rounded(box.y), w: rounded(box.w), h: rounded(box.h) }));
    return full({ file, shows: { [language]: shows }, mark: mark || undefined, cover: cover.length ? cover : undefined });
  }

  function defect(entry, place, vocabulary, files) {
    const { language, words: say } = vocabulary;
    const kind = vocabulary.kinds.find((one) => one.key === entry.kind).words;
    const part = trimmed(entry.part);
    const id = `${entry.kind.replace(/[^a-z0-9]+/g, "-")}-${place + 1}`;
    const photos = [];
    const shown = (words) => bay.limits.filled(words, { kind, part });
    if (entry.close) photos.push(photo(entry.close, `${id}-close`, shown(say.shows_close), language, files));
    if (entry.far) photos.push(photo(entry.far, `${id}-where`, shown(say.shows_where), language, files));
    return full({
      id,
      kind: entry.kind,
      where: full({ station: entry.station, wheel: entry.station === "wheels" ? entry.wheel : undefined, part: { [language]: part } }),
      size: trimmed(entry.size) ? `${tidy(entry.size)} ${entry.unit || vocabulary.units.sizes[0]}` : undefined,
      affects: entry.affects,
      words: { [language]: trimmed(entry.words) || kind },
      photos: photos.length ? photos : undefined,
    });
  }

  /** Return {record, files}: what to write, and [{name, photo}] for each photo that the record names. */
  function recordOf(entries, vocabulary) {
    const files = [];
    const { language } = vocabulary;
    const { distance, temperature } = vocabulary.units;
    const day = entries.read_on;
    const reading = `${tidy(entries.odometer)} ${distance}`;
    const fluids = entries.fluids || {};
    const said = (text, unit) => (trimmed(text) ? `${tidy(text)} ${unit}` : undefined);
    const tested = (object) => object && { ...object, tested_on: day };
    const byWheel = (make, of) => full(Object.fromEntries(vocabulary.wheels.map(({ key }) => [key, make(of?.[key])])));
    const brand = { none: "none", some: { [language]: trimmed(entries.brand_words) } }[entries.brand];
    const defects = (entries.defects || []).map((one, place) => defect(one, place, vocabulary, files));
    const photos = Object.keys(bay.VIEWS)
      .filter((view) => entries.views?.[view])
      .map((view) => photo(entries.views[view], bay.VIEWS[view], vocabulary.words[view], language, files));
    const points = bay.limits.pointsOf(entries, vocabulary);
    const record = full({
      stock: entries.stock,
      status: "preparing",
      vin: entries.vin,
      vehicle: {
        year: Number(entries.year),
        make: trimmed(entries.make),
        model: trimmed(entries.model),
        body: entries.body,
        drive: entries.drive,
        fuel: entries.fuel,
      },
      odometer: { reading, read_on: day },
      title: brand && { brand, checked_on: day },
      sale_terms: entries.terms,
      inspection: { done_on: day, at: reading },
      tires: byWheel(tire, entries.tires),
      brakes: byWheel(brake, entries.brakes),
      brake_fluid: tested(full({ moisture: said(fluids.moisture, "%") })),
      coolant: tested(full({ freezes_at: said(fluids.freezes_at, temperature) })),
      battery: full({
        tested: said(fluids.tested, "CCA"),
        rated: said(fluids.rated, "CCA"),
        tested_on: trimmed(fluids.tested) ? day : undefined,
      }),
      checks: full(Object.fromEntries(points.map(({ key }) => [key, check(entries.checks?.[key], language)]))),
      defects: defects.length ? defects : entries.no_defects ? "none" : undefined,
      photos: photos.length ? photos : undefined,
    });
    return { record, files };
  }

  /** Return the bytes of the zip. `photos` maps what an entry calls a photo to its bytes. */
  function zipOf(record, files, photos) {
    const text = jsyaml.dump(record, { lineWidth: 110, noRefs: true, quotingType: '"' });
    const packed = { "inspection.yaml": fflate.strToU8(text) };
    for (const { name, photo } of files) packed[`photos/${name}`] = [photos.get(photo), { level: 0 }];
    return fflate.zipSync(packed, { level: 6 });
  }

  return { recordOf, zipOf };
})();

/** The photos all round: which message tells what each shows, and the name of its file. */
bay.VIEWS = {
  view_front_left: "front-left",
  view_left: "left-side",
  view_rear_right: "rear-right",
  view_right: "right-side",
  view_cabin: "cabin",
  view_odometer: "odometer",
};
