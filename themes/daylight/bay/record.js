// Converts entries to the record of inspection.yaml, and names the photos. Pure: it contains entered values only.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.record = (() => {
  const { whole, decimal, several } = bay.numbers;
  const trimmed = (text) => (text || "").trim();
  const rounded = (place) => Math.round(place * 1000) / 1000;
  const finely = ({ x, y }) => ({ x: Math.round(x * 1e5) / 1e5, y: Math.round(y * 1e5) / 1e5 });
  const lines = (text) => trimmed(text).split("\n").map(trimmed).filter(Boolean);

  /** Return a copy without empty values, or undefined if nothing is left. */
  function full(object) {
    const kept = Object.entries(object).filter(([, value]) => value !== undefined && value !== "" && value !== null);
    return kept.length ? Object.fromEntries(kept) : undefined;
  }

  /** Return a figure with its unit, or undefined if none was entered. */
  const said = (text, unit) => (decimal(text) === null ? undefined : `${decimal(text)} ${unit}`);

  /** Return a text in the page's language, or undefined if it is empty. */
  const spoken = (text, language) => (trimmed(text) ? { [language]: trimmed(text) } : undefined);

  function tire(entry = {}, units) {
    const tread = full({ outer: entry.outer, center: entry.center, inner: entry.inner });
    return full({
      size: trimmed(entry.size),
      kind: entry.kind,
      date_code: entry.date_code,
      tread,
      pressure: said(entry.pressure, units.pressure),
    });
  }

  function brake(entry = {}) {
    if (!entry.kind) return undefined;
    const metal = bay.limits.METAL[entry.kind];
    const discard = { marked: said(entry[`${metal}_discard_at`], "mm"), "not marked": "not marked" }[
      entry[`${metal}_discard`]
    ];
    const linings = full(Object.fromEntries(bay.limits.LININGS[entry.kind].map((side) => [side, entry[side]])));
    return full({
      kind: entry.kind,
      [entry.kind === "drum" ? "shoes" : "pads"]: linings,
      [metal]: said(entry[metal], "mm"),
      [`${metal}_discard`]: discard,
    });
  }

  function check(entry, language) {
    const note = spoken(entry?.note, language);
    if (!entry?.finding) return "not checked";
    return note && entry.finding === "attention" ? { finding: entry.finding, note } : entry.finding;
  }

  function paint(entries, vocabulary) {
    const unit = entries.paint_unit || vocabulary.units.paint[0];
    const panels = vocabulary.panels.map((panel) => ({
      panel: panel.all,
      readings: (several(entries.paint?.[panel.key]) || []).map((reading) => `${reading} ${unit}`),
    }));
    return panels.filter(({ readings }) => readings.length);
  }

  function equipment(entries, vocabulary, language) {
    const named = (kind) =>
      vocabulary.equipment.filter(({ key }) => entries.equipment?.[key] === kind).map(({ all }) => all);
    const more = (text) => lines(text).map((line) => ({ [language]: line }));
    const [has, lacks] = [
      [...named("has"), ...more(entries.has_more)],
      [...named("lacks"), ...more(entries.lacks_more)],
    ];
    return full({ has: has.length ? has : undefined, lacks: lacks.length ? lacks : undefined });
  }

  const NAMED = { "image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic" };

  /** Return a photo's entry in the record, with its file name in the zip. */
  function photo(entry, name, shows, language, files) {
    const file = `${name}.${NAMED[entry.type] || "jpg"}`;
    files.push({ name: file, photo: entry.photo });
    const mark = entry.mark && { x: rounded(entry.mark.x), y: rounded(entry.mark.y), r: rounded(entry.mark.r) };
    const cover = (entry.cover || []).map((box) => ({
      x: rounded(box.x),
      y: rounded(box.y),
      w: rounded(box.w),
      h: rounded(box.h),
    }));
    return full({
      file,
      shows: { [language]: shows },
      mark: mark || undefined,
      card: entry.card?.map(finely),
      span: entry.card && entry.span.map(finely),
      cover: cover.length ? cover : undefined,
    });
  }

  function defect(entry, place, vocabulary, files) {
    const { language, words: say } = vocabulary;
    const { words: kind, is_rust: isRust } = vocabulary.kinds.find((one) => one.key === entry.kind);
    const done = { left: "left as it is", told: spoken(entry.done_words, language) }[entry.done];
    const part = trimmed(entry.part);
    const id = `${entry.kind.replace(/[^a-z0-9]+/g, "-")}-${place + 1}`;
    const photos = [];
    const shown = (words) => bay.limits.filled(words, { kind, part });
    if (entry.close) photos.push(photo(entry.close, `${id}-close`, shown(say.shows_close), language, files));
    if (entry.far) photos.push(photo(entry.far, `${id}-where`, shown(say.shows_where), language, files));
    return full({
      id,
      kind: entry.kind,
      where: full({
        station: entry.station,
        wheel: entry.station === "wheels" ? entry.wheel : undefined,
        part: { [language]: part },
      }),
      size: said(entry.size, entry.unit || vocabulary.units.sizes[0]),
      rusted: isRust ? said(entry.rusted, "%") : undefined,
      affects: entry.affects,
      words: { [language]: trimmed(entry.words) || kind },
      done,
      photos: photos.length ? photos : undefined,
    });
  }

  /** Return {record, files}: what to write, and [{name, photo}] for each photo that the record names. */
  function recordOf(entries, vocabulary) {
    const files = [];
    const { language } = vocabulary;
    const { units } = vocabulary;
    const day = entries.read_on;
    const reading = `${whole(entries.odometer)} ${units.distance}`;
    const fluids = entries.fluids || {};
    const of = (text) => spoken(text, language);
    const number = (text) => (whole(text) === null ? undefined : Number(whole(text)));
    const tested = (object) => object && { ...object, tested_on: day };
    const byWheel = (make, parts) =>
      full(Object.fromEntries(vocabulary.wheels.map(({ key }) => [key, make(parts?.[key], units)])));
    const brand = { none: "none", some: of(entries.brand_words) }[entries.brand];
    const open =
      entries.recalls === "some" ? lines(entries.recalls_words).map((line) => ({ what: { [language]: line } })) : [];
    const defects = (entries.defects || []).map((one, place) => defect(one, place, vocabulary, files));
    const photos = [
      ...Object.keys(bay.VIEWS)
        .filter((view) => entries.views?.[view])
        .map((view) => photo(entries.views[view], bay.VIEWS[view], vocabulary.words[view], language, files)),
      ...(entries.more || [])
        .filter((one) => one.seen)
        .map((one, place) => photo(one.seen, `more-${place + 1}`, trimmed(one.words), language, files)),
    ];
    const points = bay.limits.pointsOf(entries, vocabulary);
    const painted = paint(entries, vocabulary);
    const health = full({
      state_of_health: said(fluids.health, "%"),
      method: fluids.method,
      range_at_full: said(fluids.range, units.distance),
    });
    const tires = {
      ...byWheel(tire, entries.tires),
      spare: tire(entries.tires?.spare, units),
      placard_size: trimmed(entries.placard_size),
    };
    const record = full({
      stock: entries.stock,
      status: "preparing",
      price: number(entries.price),
      vin: entries.vin,
      location: entries.location,
      vehicle: full({
        year: Number(entries.year),
        make: trimmed(entries.make),
        model: trimmed(entries.model),
        trim: trimmed(entries.trim),
        body: entries.body,
        drive: entries.drive,
        fuel: entries.fuel,
        transmission: entries.transmission,
        engine: of(entries.engine),
        timing: entries.timing,
        doors: number(entries.doors),
        seats: number(entries.seats),
        color: of(entries.color),
        interior: of(entries.interior),
      }),
      odometer: full({ reading, read_on: day, statement: entries.statement }),
      title: brand && { brand, checked_on: day },
      recalls: entries.recalls && { checked_on: entries.recalls_on, open },
      sale_terms: entries.terms === "warranty" ? { warranty: of(entries.warranty) } : entries.terms,
      inspection: { done_on: day, at: reading },
      tires: full(tires),
      brakes: byWheel(brake, entries.brakes),
      brake_fluid: tested(full({ grade: fluids.grade, moisture: said(fluids.moisture, "%") })),
      coolant: tested(full({ freezes_at: said(fluids.freezes_at, units.temperature) })),
      battery: full({
        tested: said(fluids.tested, "CCA"),
        rated: said(fluids.rated, "CCA"),
        rest_voltage: said(fluids.volts, "V"),
        rested_hours: number(fluids.rested),
        fitted_on: fluids.fitted_on,
        tested_on: trimmed(fluids.tested) || trimmed(fluids.volts) ? day : undefined,
      }),
      traction_battery:
        bay.limits.isDrivenByBattery(entries, vocabulary) && health ? { ...health, measured_on: day } : undefined,
      paint: painted.length ? painted : undefined,
      checks: full(Object.fromEntries(points.map(({ key }) => [key, check(entries.checks?.[key], language)]))),
      equipment: equipment(entries, vocabulary, language),
      defects: defects.length ? defects : entries.no_defects ? "none" : undefined,
      photos: photos.length ? photos : undefined,
      film: bay.film.filmOf(
        entries,
        defects.map(({ id }) => id),
        files,
      ),
      notes: of(entries.notes),
    });
    return { record, files };
  }

  const textOf = (record) => jsyaml.dump(record, { lineWidth: 110, noRefs: true, quotingType: '"' });

  /** Return the zip. `contents` maps the name of a photo or clip in the entries to its content. */
  async function zipOf(record, files, contents) {
    const packed = { "inspection.yaml": new Blob([textOf(record)]) };
    for (const { name, photo, folder = "photos" } of files) packed[`${folder}/${name}`] = contents.get(photo);
    return globalThis.zipped.zipOf(packed);
  }

  return { recordOf, textOf, zipOf };
})();

/** The views around the vehicle: the message of each caption, and the name of its file. */
bay.VIEWS = {
  view_front_left: "front-left",
  view_left: "left-side",
  view_rear_right: "rear-right",
  view_right: "right-side",
  view_cabin: "cabin",
  view_odometer: "odometer",
};
