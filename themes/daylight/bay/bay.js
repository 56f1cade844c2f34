// The bay page: which step is shown; what each asks is in measuring.js and seeing.js. Entries are kept as they are made, by
// storage.js.
"use strict";

(() => {
  const { made, button } = bay.entries;
  const { filled, mustHave, mayHave, holds, pointsOf } = bay.limits;
  const vocabulary = JSON.parse(document.getElementById("bay-vocabulary").textContent);
  // A missing label shows its key, since nobody would notice an empty one.
  vocabulary.words = new Proxy(vocabulary.words, { get: (words, key) => words[key] ?? `bay.${String(key)}` });
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
    writing = writing
      .then(() => bay.storage.keep(copy))
      .then(
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

  /** The day by the device's clock: 2026-10-04. */
  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()]
      .map((number) => String(number).padStart(2, "0"))
      .join("-");
  }

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
      { key: "wheel spare", words: say.step_spare },
      { key: "fluids", words: say.step_fluids },
      ...stations().map((station) => ({ key: `checks ${station.key}`, words: station.words })),
      { key: "defects", words: say.step_defects },
      { key: "photos", words: say.step_photos },
      { key: "film", words: say.step_film },
      { key: "offer", words: say.step_offer },
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

  function listed(heading, items, look = "") {
    const line = (item) =>
      made(
        "li",
        {},
        button(item.words, () => go(item.step), "bay-line"),
      );
    return items.length
      ? [made("h3", { class: look }, heading), made("ul", { class: "bay-list" }, items.map(line))]
      : [];
  }

  function missingStep() {
    const [must, may, held] = [mustHave, mayHave, holds].map((find) => find(entries, vocabulary, today()));
    return [
      ...listed(say.holds_heading, held, "bay-told"),
      held.length ? made("p", { class: "bay-note" }, say.holds_note) : null,
      ...listed(say.must, must),
      ...listed(say.may, may),
      must.length + may.length ? null : made("p", {}, say.missing_none),
    ];
  }

  function finishStep() {
    const must = mustHave(entries, vocabulary, today());
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
    const canShare = navigator.canShare?.({ files: [probe] });
    return [
      canShare
        ? button(
            filled(say.share, { file }),
            acting((zip) => navigator.share({ files: [zip] })),
            "bay-main-button",
          )
        : null,
      button(filled(say.save, { file }), acting(download), "bay-main-button", { id: "save" }),
      told,
      ...missingStep(),
    ];
  }

  async function packed(file) {
    const { record, files } = bay.record.recordOf(entries, vocabulary);
    const contents = new Map();
    for (const { photo } of files) contents.set(photo, new Blob([(await bay.storage.photo(photo)).bytes]));
    return new File([await bay.record.zipOf(record, files, contents)], file, { type: "application/zip" });
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
    const named = [
      ...Object.values(entries.views || {}),
      ...(entries.defects || []).flatMap(({ close, far }) => [close, far]),
      ...(entries.more || []).map(({ seen }) => seen),
    ];
    for (const entry of named.filter(Boolean)) {
      const photo = await bay.storage.photo(entry.photo);
      if (photo) addresses.set(entry.photo, URL.createObjectURL(new Blob([photo.bytes], { type: photo.type })));
    }
    go(entries.step || "vehicle");
  }

  function newVehicle() {
    entries = { id: `${Date.now()}-${Math.floor(Math.random() * 1e6)}`, read_on: today() };
    go("vehicle");
  }

  function clearing(vehicle, row) {
    const ask = (question, yes, act) =>
      row.replaceChildren(
        made("p", { role: "alert" }, question),
        made("div", { class: "bay-row" }, button(yes, act, "bay-grave"), button(say.keep, show)),
      );
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
      const name = [vehicle.stock || say.no_stock, vehicle.year, vehicle.make, vehicle.model]
        .filter(Boolean)
        .join(" ");
      const called = (words) => ({ "aria-label": `${words}: ${name}` });
      item.append(
        made("h3", {}, name),
        made(
          "div",
          { class: "bay-row" },
          button(say.open, () => openVehicle(vehicle), "", called(say.open)),
          button(say.clear, () => clearing(vehicle, item), "", called(say.clear)),
        ),
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

  const page = {
    vocabulary,
    wheels,
    get entries() {
      return entries;
    },
    set,
    setAndShow,
    part,
    keep,
    show,
    today,
    keepPhoto,
    forget,
    addressOf: (photo) => addresses.get(photo),
  };
  const { wheel: wheelStep, ...measured } = bay.measuring(page);
  const { checks: checksStep, ...seen } = bay.seeing(page);
  const filmed = bay.filming(page);

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
        return [
          ...listed(
            say.steps,
            all.map((one) => ({ step: one.key, words: one.words })),
          ),
          button(say.vehicles, () => go("list")),
        ];
      default:
        return { ...measured, ...seen, ...filmed, missing: missingStep, finish: finishStep }[kind]();
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
    const count = mustHave(entries, vocabulary, today()).length + mayHave(entries, vocabulary).length;
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
    navigator.serviceWorker.register("keeper.js").catch(() => {}); // without it the page still works with a network
  }
  navigator.storage?.persist?.();
  show();
})();
