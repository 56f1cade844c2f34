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
    const isFull = (value) => value !== undefined && value !== "" && value !== null;
    const kept = Object.entries(object).filter(([, value]) => isFull(value) && value.length !== 0);
    return kept.length ? Object.fromEntries(kept) : undefined;
  }

  /** Return a figure with its unit, or undefined if none was entered. */
  const said = (text, unit) => (decimal(text) === null ? undefined : `${decimal(text)} ${unit}`);

  /** Return a text in the page's language, or undefined if it is empty. */
  const spoken = (text, language) => (trimmed(text) ? { [language]: trimmed(text) } : undefined);

  /** When a part was fitted, as a bill or its maker says it: what is known of its life so far. */
  const fitted = (entry, units) => ({ fitted_at: reading(entry.fitted_at, units), fitted_on: entry.fitted_on });
  const reading = (text, units) => (whole(text) === null ? undefined : `${whole(text)} ${units.distance}`);

  function tire(entry = {}, units) {
    const tread = full({ outer: entry.outer, center: entry.center, inner: entry.inner });
    return full({
      size: trimmed(entry.size),
      kind: entry.kind,
      date_code: entry.date_code,
      tread,
      new_tread: entry.new_tread,
      ...fitted(entry, units),
      pressure: said(entry.pressure, units.pressure),
    });
  }

  function brake(entry = {}, units) {
    if (!entry.kind) return undefined;
    const metal = bay.limits.METAL[entry.kind];
    const discard = { marked: said(entry[`${metal}_discard_at`], "mm"), "not marked": "not marked" }[
      entry[`${metal}_discard`]
    ];
    const linings = full(Object.fromEntries(bay.limits.LININGS[entry.kind].map((side) => [side, entry[side]])));
    return full({
      kind: entry.kind,
      [entry.kind === "drum" ? "shoes" : "pads"]: linings,
      [entry.kind === "drum" ? "new_shoes" : "new_pads"]: entry.new_lining,
      [metal]: said(entry[metal], "mm"),
      [`${metal}_discard`]: discard,
      ...fitted(entry, units),
    });
  }

  function check(entry, language) {
    if (!entry?.finding) return "not checked";
    const isAttention = entry.finding === "attention";
    const more = ["attention", "not fitted"].includes(entry.finding)
      ? full({
          note: isAttention ? spoken(entry.note, language) : undefined,
          affects: isAttention ? entry.affects : undefined,
          because: spoken(entry.because, language),
        })
      : undefined;
    return more ? { finding: entry.finding, ...more } : entry.finding;
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

  const NAMED = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/heic": "heic",
    "image/heif": "heif",
  };

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

  /** The photos of a defect as the record has them. `id` begins their names. */
  function defectPhotos(entry, id, vocabulary, files) {
    const { language, words: say } = vocabulary;
    const { words: kind } = vocabulary.kinds.find((one) => one.key === entry.kind);
    const shown = (words) => bay.limits.filled(words, { kind, part: trimmed(entry.part) });
    const photos = [];
    if (entry.close) photos.push(photo(entry.close, `${id}-close`, shown(say.shows_close), language, files));
    if (entry.far) photos.push(photo(entry.far, `${id}-where`, shown(say.shows_where), language, files));
    (entry.shots || []).forEach((shot, place) => {
      photos.push(photo(shot, `${id}-more-${place + 1}`, shown(say.shows_close), language, files));
    });
    return photos.length ? photos : undefined;
  }

  function defect(entry, id, vocabulary, files) {
    const { language } = vocabulary;
    const { words: kind, is_rust: isRust } = vocabulary.kinds.find((one) => one.key === entry.kind);
    const done = { left: "left as it is", told: spoken(entry.done_words, language) }[entry.done];
    return full({
      id,
      kind: entry.kind,
      where: full({
        station: entry.station,
        wheel: entry.station === "wheels" ? entry.wheel : undefined,
        part: { [language]: trimmed(entry.part) },
      }),
      size: said(entry.size, entry.unit || vocabulary.units.sizes[0]),
      rusted: isRust ? said(entry.rusted, "%") : undefined,
      affects: entry.affects,
      because: spoken(entry.because, language),
      words: { [language]: trimmed(entry.words) || kind },
      done,
      photos: defectPhotos(entry, id, vocabulary, files),
    });
  }

  /** The id of each new defect: its kind and a number that no other defect of the vehicle ever had. */
  function idsOf(defects, taken) {
    const ids = [...taken];
    return defects.map(({ kind }, place) => {
      const name = kind.replace(/[^a-z0-9]+/g, "-");
      let number = place + 1;
      while (ids.includes(`${name}-${number}`)) number++;
      ids.push(`${name}-${number}`);
      return `${name}-${number}`;
    });
  }

  /** The promises that stand beside what they answer, and those that stand alone. */
  function promises(entries, ids, vocabulary, seen) {
    const { language } = vocabulary;
    const places = bay.limits.concerns(seen, vocabulary).map(({ where }) => `${where}.`);
    const isOpen = (part) => places.some((place) => place.startsWith(`${part}.`));
    const of = (promise, answers) =>
      trimmed(promise?.what)
        ? [full({ id: promise.id, what: { [language]: trimmed(promise.what) }, ...answers, by: promise.by })]
        : [];
    const beside = (group) =>
      Object.entries(entries[group] || {})
        .filter(([key]) => isOpen(`${group}.${key}`))
        .flatMap(([key, one]) => of(one.promise, { renews: [`${group}.${key}`] }));
    return [
      ...["tires", "brakes", "checks"].flatMap(beside),
      ...Object.entries(entries.looked || {})
        .filter(([, looked]) => !bay.known.isGone(looked))
        .flatMap(([id, { promise }]) => of(promise, { settles: [id] })),
      ...(entries.defects || []).flatMap(({ promise }, place) => of(promise, { settles: [ids[place]] })),
      ...(entries.promises || []).flatMap((promise) => of(promise, {})),
    ];
  }

  /** Work of the shop, and promises of the store that were kept. */
  function work(entries, seen, day, at, language) {
    const kept = (seen.known_promises || [])
      .filter(({ id }) => entries.kept_promises?.[id]?.done)
      .map(({ id, raw_what: what }) => full({ what, on: day, at, finishes: [id] }));
    const done = (entries.work || [])
      .filter(({ what }) => trimmed(what))
      .map((one) => ({ what: { [language]: trimmed(one.what) }, on: one.on || day }));
    return [...done, ...kept];
  }

  const services = (entries, units) =>
    (entries.bills || []).flatMap((bill) =>
      Object.entries(bill.services || {})
        .filter(([, is]) => is)
        .map(([service]) => full({ service, done_on: bill.on, at: reading(bill.at, units) })),
    );

  function gauges(entries, language) {
    const named = Object.entries(entries.gauges || {}).filter(([, gauge]) => trimmed(gauge.name));
    return full(
      Object.fromEntries(
        named.map(([key, { name, reads_to }]) => [key, full({ name: { [language]: trimmed(name) }, reads_to })]),
      ),
    );
  }

  const listOrNone = (list, isNone) => (list.length ? list : isNone ? "none" : undefined);

  /**
   * Return {record, files}: what to write, and [{name, photo}] for each photo that the record names. `seen` are the entries
   * with what the store knows, and `taken` the ids of the defects that the vehicle ever had.
   */
  function recordOf(entries, vocabulary, seen = entries, taken = []) {
    const files = [];
    const { language } = vocabulary;
    const { units } = vocabulary;
    const day = entries.read_on;
    const at = reading(entries.odometer, units);
    const fluids = entries.fluids || {};
    const of = (text) => spoken(text, language);
    const number = (text) => (whole(text) === null ? undefined : Number(whole(text)));
    const tested = (object) => object && { ...object, tested_on: day };
    const byWheel = (make, parts) =>
      full(Object.fromEntries(allWheels(vocabulary).map(({ key }) => [key, make(parts?.[key], units)])));
    const brand = { none: "none", some: of(entries.brand_words) }[entries.brand];
    const open =
      entries.recalls === "some" ? lines(entries.recalls_words).map((line) => ({ what: { [language]: line } })) : [];
    const ids = idsOf(entries.defects || [], taken);
    const defects = (entries.defects || []).map((one, place) => defect(one, ids[place], vocabulary, files));
    const shots = Object.entries(entries.wheel_photos || {}).flatMap(([wheel, list]) =>
      list.map((one, place) =>
        photo(one, `${wheel.replaceAll("_", "-")}-${place + 1}`, wheelWords(wheel, vocabulary), language, files),
      ),
    );
    const photos = [
      ...Object.keys(bay.VIEWS)
        .filter((view) => entries.views?.[view])
        .map((view) => photo(entries.views[view], bay.VIEWS[view], vocabulary.words[view], language, files)),
      ...(entries.more || [])
        .filter((one) => one.seen)
        .map((one, place) => photo(one.seen, `more-${place + 1}`, trimmed(one.words), language, files)),
      ...shots,
    ];
    const points = bay.limits.pointsOf(seen, vocabulary);
    const painted = paint(entries, vocabulary);
    const health = full({
      state_of_health: said(fluids.health, "%"),
      method: fluids.method,
      range_at_full: said(fluids.range, units.distance),
    });
    const tires = {
      ...byWheel(tire, entries.tires),
      spare: tire(entries.tires?.spare, units),
      dual_rear: entries.dual_rear ? entries.dual_rear === "dual" : undefined,
      placard_size: trimmed(entries.placard_size),
      placard_size_rear: trimmed(entries.placard_size_rear),
      placard_pressure: said(entries.placard_pressure, units.pressure),
      placard_pressure_rear: said(entries.placard_pressure_rear, units.pressure),
    };
    const record = full({
      stock: entries.stock,
      status: "preparing",
      price: number(entries.price),
      vin: entries.vin,
      location: entries.location,
      vehicle: full({
        year: number(entries.year),
        make: trimmed(entries.make),
        model: trimmed(entries.model),
        trim: trimmed(entries.trim),
        body: entries.body,
        drive: entries.drive,
        fuel: entries.fuel,
        transmission: entries.transmission,
        engine: of(entries.engine),
        liters: said(entries.liters, "")?.trim(),
        cylinders: number(entries.cylinders),
        timing: entries.timing,
        doors: number(entries.doors),
        seats: number(entries.seats),
        color: of(entries.color),
        interior: of(entries.interior),
        gross_weight_pounds: number(entries.gross_weight_pounds),
        front_axle_pounds: number(entries.front_axle_pounds),
        rear_axle_pounds: number(entries.rear_axle_pounds),
      }),
      odometer: full({ reading: at, read_on: day, statement: entries.statement }),
      title: brand && { brand, checked_on: day },
      recalls: entries.recalls && { checked_on: entries.recalls_on, open },
      sale_terms: entries.terms === "warranty" ? { warranty: of(entries.warranty) } : entries.terms,
      inspection: full({ done_on: day, at, by: of(entries.by), gauges: gauges(entries, language) }),
      tires: full(tires),
      brakes: byWheel(brake, entries.brakes),
      brake_fluid: tested(
        full({
          grade: fluids.grade,
          moisture: said(fluids.moisture, "%"),
          boils_at: said(fluids.boils_at, units.temperature),
        }),
      ),
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
        bay.limits.isDrivenByBattery(seen, vocabulary) && health ? { ...health, measured_on: day } : undefined,
      paint: painted.length ? painted : undefined,
      services: services(entries, units),
      checks: full(Object.fromEntries(points.map(({ key }) => [key, check(entries.checks?.[key], language)]))),
      work_done: listOrNone(work(entries, seen, day, at, language), entries.no_work),
      before_delivery: listOrNone(promises(entries, ids, vocabulary, seen), entries.no_promises),
      additions: entries.no_additions ? "none" : undefined,
      harmless: harmless(entries, language),
      equipment: equipment(entries, vocabulary, language),
      defects: listOrNone(defects, entries.no_defects),
      photos: photos.length ? photos : undefined,
      film: bay.film.filmOf(entries, ids, files, seen.known_film),
      notes: of(entries.notes),
    });
    return { record, files };
  }

  const allWheels = (vocabulary) => [...vocabulary.wheels, ...(vocabulary.inner_wheels || [])];
  const wheelWords = (wheel, vocabulary) =>
    [...allWheels(vocabulary), vocabulary.spare].find(({ key }) => key === wheel).words;

  function harmless(entries, language) {
    const said = (entries.harmless || []).filter(({ words, because }) => trimmed(words) && trimmed(because));
    return said.map(({ words, because }) => ({
      words: { [language]: trimmed(words) },
      because: { [language]: trimmed(because) },
    }));
  }

  const textOf = (record) => jsyaml.dump(record, { lineWidth: 110, noRefs: true, quotingType: '"' });

  /**
   * Return the zip: a record or a visit in `file`, and the photos and clips beside it under `top`. `contents` maps the name
   * of a photo or clip in the entries to its content.
   */
  async function zipOf(record, files, contents, file = "inspection.yaml", top = "") {
    const packed = { [file]: new Blob([textOf(record)]) };
    for (const { name, photo, folder = "photos" } of files) packed[`${top}${folder}/${name}`] = contents.get(photo);
    return globalThis.zipped.zipOf(packed);
  }

  return { recordOf, textOf, zipOf, full, said, defectPhotos };
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
