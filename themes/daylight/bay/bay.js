// The bay page: which step is shown, and what each asks. Entries are kept as they are made; see storage.js.
"use strict";

(() => {
  const { made, text, choice, ruler, picked, button, photoWays } = bay.entries;
  const { filled, mustHave, mayHave, holds, pointsOf } = bay.limits;
  const vocabulary = JSON.parse(document.getElementById("bay-vocabulary").textContent);
  const say = vocabulary.words;
  const main = document.getElementById("bay");
  const foot = document.getElementById("bay-foot");
  const kept = document.getElementById("bay-kept");
  const WALK = ["left_front", "left_rear", "right_rear", "right_front"];
  const wheels = WALK.map((key) => vocabulary.wheels.find((wheel) => wheel.key === key));
  const addresses = new Map(); // of photos, made once each

  let entries = null; // of the vehicle that is open
  let step = "list";
  let writing = Promise.resolve();
  let changes = 0;

  // Keeping

  function keep() {
    const copy = structuredClone(entries);
    const change = ++changes;
    kept.textContent = "";
    writing = writing.then(() => bay.storage.keep(copy)).then(
      () => {
        if (change === changes) kept.textContent = say.kept;
      },
      () => {
        kept.textContent = say.not_kept;
      },
    );
    showFoot();
  }

  const set = (of, key) => (value) => {
    of[key] = value;
    keep();
  };
  const setAndShow = (of, key) => (value) => {
    of[key] = value;
    keep();
    show();
  };
  const part = (of, key) => (of[key] = of[key] || {});

  const typeOf = (file) => file.type || (/\.heic$/i.test(file.name) ? "image/heic" : "");

  async function keepPhoto(of, key, file) {
    const type = typeOf(file);
    if (!/^image\/(jpeg|png|webp|heic)$/.test(type)) {
      kept.textContent = filled(say.not_saved, { why: type || file.name });
      return;
    }
    const photo = crypto.randomUUID ? crypto.randomUUID() : `${Date.now()}-${Math.random()}`;
    const before = of[key]?.photo;
    kept.textContent = "";
    try {
      await bay.storage.keepPhoto(photo, entries.id, await file.arrayBuffer(), type);
    } catch {
      kept.textContent = say.not_kept;
      return;
    }
    addresses.set(photo, URL.createObjectURL(file));
    of[key] = { photo, type };
    keep();
    if (before) forget(before);
    show();
  }

  /** Forget a photo once the entries that no longer name it are kept. */
  function forget(photo) {
    writing.then(() => bay.storage.forgetPhoto(photo));
    URL.revokeObjectURL(addresses.get(photo));
    addresses.delete(photo);
  }

  // Steps

  function stations() {
    const had = pointsOf(entries, vocabulary);
    return vocabulary.stations.filter(({ key }) => had.some((point) => point.station === key));
  }

  function steps() {
    return [
      { key: "vehicle", words: say.step_vehicle },
      { key: "papers", words: say.step_papers },
      ...wheels.map((wheel) => ({ key: `wheel ${wheel.key}`, words: filled(say.step_wheel, { what: wheel.words }) })),
      { key: "fluids", words: say.step_fluids },
      ...stations().map((station) => ({ key: `checks ${station.key}`, words: station.words })),
      { key: "defects", words: say.step_defects },
      { key: "photos", words: say.step_photos },
      { key: "finish", words: say.step_finish },
    ];
  }

  function go(to) {
    step = to;
    if (entries && !["list", "steps", "missing"].includes(to)) {
      entries.step = to;
      keep();
    }
    show();
    scrollTo({ top: 0, behavior: "instant" });
    main.focus({ preventScroll: true });
  }

  function vinField() {
    const told = made("p", { class: "bay-note", id: "vin-told", role: "status" });
    const tell = () => {
      const vin = entries.vin || "";
      const digit = bay.vin.checkDigit(vin);
      const strange = bay.vin.hasStrangeSign(vin);
      const short = vin ? filled(say.vin_short, { count: vin.length }) : "";
      const whole = digit === vin[8] ? say.vin_right : filled(say.vin_wrong, { digit });
      told.textContent = strange ? say.vin_signs : digit === null ? short : whole;
    };
    const entered = (value) => {
      entries.vin = value.toUpperCase().replace(/\s/g, "");
      const year = bay.vin.checkDigit(entries.vin) === entries.vin[8] ? bay.vin.modelYear(entries.vin) : null;
      const field = document.getElementById("year");
      if (year && field && !field.value) entries.year = field.value = String(year);
      tell();
      keep();
    };
    const field = text("vin", say.vin, entries.vin, entered, { maxlength: 20, autocapitalize: "characters", spellcheck: "false", "aria-describedby": "vin-told" });
    field.append(told);
    tell();
    if ("BarcodeDetector" in globalThis) field.append(barcodeWay(entered));
    return field;
  }

  /** The device's own reader of bar codes, on a photo of the label in the door. Code 39 may begin with an I. */
  function barcodeWay(entered) {
    const read = async () => {
      try {
        const found = await new BarcodeDetector().detect(await createImageBitmap(input.files[0]));
        const vin = found.map(({ rawValue }) => rawValue.trim().replace(/^I/, "")).find((code) => /^[A-HJ-NPR-Z0-9]{17}$/.test(code));
        if (!vin) throw new Error("none");
        document.getElementById("vin").value = vin;
        entered(vin);
      } catch {
        document.getElementById("vin-told").textContent = say.vin_unread;
      }
    };
    const input = made("input", { type: "file", accept: "image/*", capture: "environment", "aria-label": say.vin_scan, onchange: read });
    return made("label", { class: "bay-button bay-file" }, input, made("span", {}, say.vin_scan));
  }

  function vehicleStep() {
    const field = (key, more) => text(key, say[key], entries[key], set(entries, key), more);
    const pick = (key) => picked(key, say[key], vocabulary[key], entries[key], setAndShow(entries, key), say);
    return [
      field("stock", { autocapitalize: "characters", maxlength: 40 }),
      vinField(),
      field("year", { inputmode: "numeric", maxlength: 4 }),
      field("make", { maxlength: 80 }),
      field("model", { maxlength: 80 }),
      ...["body", "drive", "fuel", "terms"].map(pick),
    ];
  }

  function papersStep() {
    const brands = ["unseen", "none", "some"].map((key) => ({ key: key === "unseen" ? "" : key, words: say[`brand_${key}`] }));
    return [
      text("odometer", filled(say.odometer, { unit: vocabulary.units.distance }), entries.odometer, set(entries, "odometer"), { inputmode: "numeric", maxlength: 7 }),
      text("read_on", say.read_on, entries.read_on, set(entries, "read_on"), { type: "date" }),
      choice("brand", say.brand, brands, entries.brand, setAndShow(entries, "brand")),
      entries.brand === "some" ? text("brand_words", say.brand_words, entries.brand_words, set(entries, "brand_words")) : null,
    ];
  }

  function wheelStep(key) {
    const wheel = wheels.find((one) => one.key === key);
    const tire = part(part(entries, "tires"), key);
    const brake = part(part(entries, "brakes"), key);
    const known = WALK.map((other) => entries.tires[other]?.size).find(Boolean);
    const kinds = [["", say.not_seen], ["disc", say.disc], ["drum", say.drum]].map(([one, words]) => ({ key: one, words }));
    const linings = brake.kind === "drum" ? [say.shoe_leading, say.shoe_trailing] : [say.pad_inner, say.pad_outer];
    const unit = say[vocabulary.units.tread];
    return [
      text("size", say.size, tire.size, set(tire, "size"), { autocapitalize: "characters", maxlength: 40 }),
      known && !tire.size ? button(filled(say.same_size, { size: known }), () => setAndShow(tire, "size")(known)) : null,
      text("date_code", say.date_code, tire.date_code, set(tire, "date_code"), { inputmode: "numeric", maxlength: 4 }),
      ...["outer", "center", "inner"].map((place) => ruler(place, `${say[place]}, ${unit}`, wheel.tread, tire[place], setAndShow(tire, place), say)),
      made("h3", {}, filled(say.step_brake, { what: wheel.words })),
      choice("brake_kind", say.brake_kind, kinds, brake.kind, setAndShow(brake, "kind")),
      ...(brake.kind
        ? ["first", "second"].map((place, at) => ruler(place, `${linings[at]}, ${say.millimeters}`, wheel.lining, brake[place], setAndShow(brake, place), say))
        : []),
      made("p", { class: "bay-note" }, say.caution),
    ];
  }

  function fluidsStep() {
    const fluids = part(entries, "fluids");
    const figure = (key, mode) =>
      text(key, filled(say[key], { unit: vocabulary.units.temperature }), fluids[key], set(fluids, key), { inputmode: mode, placeholder: say.not_measured });
    return [figure("tested", "decimal"), figure("rated", "decimal"), figure("moisture", "decimal"), figure("freezes_at", "text"), made("p", { class: "bay-note" }, say.caution)];
  }

  function checksStep(station) {
    const checks = part(entries, "checks");
    const unchecked = vocabulary.finding.map((one) => (one.key === "not checked" ? { ...one, key: "" } : one));
    return pointsOf(entries, vocabulary)
      .filter((point) => point.station === station)
      .map((point) => {
        const check = part(checks, point.key);
        return made(
          "div",
          { class: "bay-point" },
          choice(point.key, point.words, unchecked, check.finding, setAndShow(check, "finding"), "bay-finding"),
          check.finding === "attention" ? text(`${point.key}-note`, say.note, check.note, set(check, "note"), { rows: 2 }) : null,
          check.finding === "attention" && point.safety ? made("p", { class: "bay-told" }, filled(say.hold_check, { what: point.words })) : null,
        );
      });
  }

  function bodyDrawing(name, defect) {
    const drawing = document.querySelector(`template[data-body="${entries.body}"]`);
    if (!drawing) {
      return picked(`${name}-station`, say.where, vocabulary.stations, defect.station, setAndShow(defect, "station"), say);
    }
    const pins = vocabulary.stations.map((station, place) => {
      const input = made("input", { type: "radio", name: `${name}-station`, id: `${name}-station-${place}`, value: station.key, onchange: () => setAndShow(defect, "station")(station.key) });
      input.checked = defect.station === station.key;
      const pin = made("label", { class: "bay-pin" }, input, made("span", {}, station.words));
      const [left, top] = vocabulary.places[entries.body][station.key];
      Object.assign(pin.style, { left: `${left}%`, top: `${top}%` });
      return pin;
    });
    return made(
      "fieldset",
      { class: "bay-choice" },
      made("legend", {}, say.where),
      made("div", { class: "bay-drawing" }, drawing.content.cloneNode(true), pins),
    );
  }

  function photoField(name, words, of, key, canMark, heading = "h4") {
    const entry = of[key];
    return made(
      "section",
      { class: "bay-photos", "aria-label": words },
      made(heading, {}, words),
      photoWays(name, words, (file) => keepPhoto(of, key, file), say),
      entry && addresses.has(entry.photo) ? bay.photoMarks.figure(addresses.get(entry.photo), entry, words, keep, say, canMark) : null,
    );
  }

  function defectCard(defect, place) {
    const name = `defect-${place + 1}`;
    const words = filled(say.defect, { number: place + 1 });
    const sizes = vocabulary.units.sizes.map((unit) => ({ key: unit, words: unit }));
    const unit = defect.unit || sizes[0].key;
    const hold = defect.affects === "safety" ? made("p", { class: "bay-told" }, filled(say.hold_defect, { what: words })) : null;
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      bodyDrawing(name, defect),
      defect.station === "wheels" ? choice(`${name}-wheel`, say.wheel, vocabulary.at_wheel.filter((one) => one.key !== "spare"), defect.wheel, setAndShow(defect, "wheel")) : null,
      text(`${name}-part`, say.part, defect.part, set(defect, "part")),
      picked(`${name}-kind`, say.kind, vocabulary.kinds, defect.kind, setAndShow(defect, "kind"), say),
      choice(`${name}-affects`, say.affects, vocabulary.affects, defect.affects, setAndShow(defect, "affects")),
      hold,
      text(`${name}-size`, `${say.length}, ${unit}`, defect.size, set(defect, "size"), { inputmode: "decimal", placeholder: say.not_measured }),
      sizes.length > 1 ? choice(`${name}-unit`, say.length, sizes, unit, setAndShow(defect, "unit")) : null,
      text(`${name}-words`, say.words, defect.words, set(defect, "words"), { rows: 3 }),
      photoField(`${name}-close`, say.photo_close, defect, "close", true),
      photoField(`${name}-far`, say.photo_where, defect, "far", true),
      asked(say.remove, say.remove_sure, () => {
        for (const photo of [defect.close, defect.far]) if (photo) forget(photo.photo);
        entries.defects.splice(place, 1);
        keep();
        show();
      }),
    );
  }

  /** A button that asks once more before it acts. */
  function asked(words, sure, act) {
    const first = button(words, () => first.replaceWith(made("div", { class: "bay-row" }, button(sure, act, "bay-grave"), button(say.keep, show))));
    return first;
  }

  function defectsStep() {
    const defects = (entries.defects = entries.defects || []);
    const add = () => {
      defects.push({});
      entries.no_defects = false;
      keep();
      show();
      main.querySelectorAll(".bay-card")[defects.length - 1].scrollIntoView();
    };
    const none = [{ key: "", words: say.no_defects_unsaid }, { key: "none", words: say.no_defects }];
    return [
      defects.length ? null : choice("no_defects", say.step_defects, none, entries.no_defects ? "none" : "", (value) => setAndShow(entries, "no_defects")(value === "none")),
      ...defects.map(defectCard),
      button(say.add_defect, add, "bay-main-button"),
    ];
  }

  function photosStep() {
    const views = part(entries, "views");
    return Object.keys(bay.VIEWS).map((view) => photoField(view, say[view], views, view, false, "h3"));
  }

  function listed(heading, items, look = "") {
    const line = (item) => made("li", {}, button(item.words, () => go(item.step), "bay-line"));
    return items.length ? [made("h3", { class: look }, heading), made("ul", { class: "bay-list" }, items.map(line))] : [];
  }

  function missingStep() {
    const [must, may, held] = [mustHave, mayHave, holds].map((find) => find(entries, vocabulary));
    return [
      ...listed(say.holds_heading, held, "bay-told"),
      held.length ? made("p", { class: "bay-note" }, say.holds_note) : null,
      ...listed(say.must, must),
      ...listed(say.may, may),
      must.length + may.length ? null : made("p", {}, say.missing_none),
    ];
  }

  function finishStep() {
    const must = mustHave(entries, vocabulary);
    if (must.length) return missingStep();
    const file = `${entries.stock}.zip`;
    const told = made("p", { role: "status", class: "bay-note", id: "saved" });
    const acting = (act) => async () => {
      try {
        await act(await packed(file));
        told.textContent = filled(say.saved, { file });
      } catch (fault) {
        if (fault.name !== "AbortError") told.textContent = filled(say.not_saved, { why: fault.message });
      }
    };
    const probe = new File([], file, { type: "application/zip" });
    const canShare = navigator.canShare && navigator.canShare({ files: [probe] });
    return [
      canShare ? button(filled(say.share, { file }), acting((zip) => navigator.share({ files: [zip] })), "bay-main-button") : null,
      button(filled(say.save, { file }), acting(download), "bay-main-button", { id: "save" }),
      told,
      ...missingStep(),
    ];
  }

  async function packed(file) {
    const { record, files } = bay.record.recordOf(entries, vocabulary);
    const photos = new Map();
    for (const { photo } of files) photos.set(photo, new Uint8Array((await bay.storage.photo(photo)).bytes));
    return new File([bay.record.zipOf(record, files, photos)], file, { type: "application/zip" });
  }

  function download(zip) {
    const address = URL.createObjectURL(zip);
    const link = made("a", { href: address, download: zip.name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }

  // The list of vehicles

  async function openVehicle(found) {
    entries = found;
    const named = [...Object.values(entries.views || {}), ...(entries.defects || []).flatMap(({ close, far }) => [close, far])];
    for (const entry of named.filter(Boolean)) {
      const photo = await bay.storage.photo(entry.photo);
      if (photo) addresses.set(entry.photo, URL.createObjectURL(new Blob([photo.bytes], { type: photo.type })));
    }
    go(entries.step || "vehicle");
  }

  function newVehicle() {
    const now = new Date();
    const day = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((number) => String(number).padStart(2, "0")).join("-");
    entries = { id: `${Date.now()}-${Math.floor(Math.random() * 1e6)}`, read_on: day };
    go("vehicle");
  }

  function clearing(vehicle, row) {
    const ask = (question, yes, act) =>
      row.replaceChildren(made("p", { role: "alert" }, question), made("div", { class: "bay-row" }, button(yes, act, "bay-grave"), button(say.keep, show)));
    ask(say.clear_once, say.clear_first, () =>
      ask(say.clear_twice, say.clear_last, async () => {
        await bay.storage.clear(vehicle.id);
        show();
      }),
    );
  }

  async function showList() {
    let vehicles = [];
    try {
      await writing;
      vehicles = await bay.storage.vehicles();
    } catch {
      kept.textContent = say.not_kept;
    }
    if (step !== "list") return;
    const row = (vehicle) => {
      const item = made("li", { class: "bay-card" });
      const name = [vehicle.stock || say.no_stock, vehicle.year, vehicle.make, vehicle.model].filter(Boolean).join(" ");
      const called = (words) => ({ "aria-label": `${words}: ${name}` });
      item.append(
        made("h3", {}, name),
        made("div", { class: "bay-row" }, button(say.open, () => openVehicle(vehicle), "", called(say.open)), button(say.clear, () => clearing(vehicle, item), "", called(say.clear))),
      );
      return item;
    };
    main.replaceChildren(
      made("p", {}, say.introduction),
      button(say.new_vehicle, newVehicle, "bay-main-button"),
      vehicles.length ? made("h2", {}, say.vehicles) : "",
      made("ul", { class: "bay-list" }, vehicles.map(row)),
    );
    foot.replaceChildren();
  }

  // Showing

  function content() {
    const [kind, ...rest] = step.split(" ");
    const which = rest.join(" ");
    const all = steps();
    switch (kind) {
      case "wheel":
        return wheelStep(which);
      case "checks":
        return checksStep(which);
      case "steps":
        return [...listed(say.steps, all.map((one) => ({ step: one.key, words: one.words }))), button(say.vehicles, () => go("list"))];
      default:
        return { vehicle: vehicleStep, papers: papersStep, fluids: fluidsStep, defects: defectsStep, photos: photosStep, missing: missingStep, finish: finishStep }[kind]();
    }
  }

  function show() {
    if (step === "list" || !entries) {
      step = "list";
      showList();
      return;
    }
    const focused = document.activeElement?.id;
    const named = steps().find((one) => one.key === step);
    const title = named ? named.words : step === "missing" ? say.missing_heading : entries.stock || say.no_stock;
    main.replaceChildren(made("h2", {}, title), ...content().filter(Boolean));
    if (focused && focused !== "bay") document.getElementById(focused)?.focus({ preventScroll: true });
    showFoot();
  }

  function showFoot() {
    const order = steps().map((one) => one.key);
    const here = Math.max(order.indexOf(step), order.indexOf(entries.step));
    const aside = !order.includes(step);
    const count = mustHave(entries, vocabulary).length + mayHave(entries, vocabulary).length;
    const held = holds(entries, vocabulary).length;
    const back = () => go(aside ? order[Math.max(here, 0)] : here > 0 ? order[here - 1] : "list");
    const made_of = [
      button(say.back, back),
      button(say.steps, () => go("steps")),
      button(filled(say.missing, { count }), () => go("missing"), held ? "bay-held" : ""),
      !aside && here < order.length - 1 ? button(say.next, () => go(order[here + 1]), "bay-main-button") : null,
    ];
    foot.replaceChildren(...made_of.filter(Boolean));
  }

  if ("serviceWorker" in navigator && location.protocol.startsWith("http")) {
    navigator.serviceWorker.register("keeper.js").catch(() => {}); // without it the page works all the same, with a network
  }
  navigator.storage?.persist?.();
  show();
})();
