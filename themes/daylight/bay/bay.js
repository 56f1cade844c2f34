// The bay page: which vehicle is open, which step is shown, and what is kept. What each step asks is in measuring.js,
// seeing.js and visits/. Entries are kept as they are made, by storage.js.
"use strict";

(() => {
  const { made, button } = bay.entries;
  const { filled, mustHave, mayHave, holds, pointsOf, wheelsOf } = bay.limits;
  const vocabulary = JSON.parse(document.getElementById("bay-vocabulary").textContent);
  // A missing label shows its key, since nobody would notice an empty one.
  vocabulary.words = new Proxy(vocabulary.words, { get: (words, key) => words[key] ?? `bay.${String(key)}` });
  const say = vocabulary.words;
  const main = document.getElementById("bay");
  const foot = document.getElementById("bay-foot");
  const kept = document.getElementById("bay-kept");
  const shownVehicle = document.getElementById("bay-vehicle");
  const WALK = ["left_front", "left_rear", "left_rear_inner", "right_rear_inner", "right_rear", "right_front"];
  const ASIDE = ["list", "steps", "missing"];
  const addresses = new Map(); // of photos, made once each
  const paths = new WeakMap(); // of the parts of the entries: where what the store knows of them stands

  let entries = null; // of the vehicle that is open
  let known = null; // what the store knows of it
  let seen = null; // both together, made when it is asked for
  let device = { id: "device" }; // who uses it, and the gauges
  let step = "list";
  let writing = Promise.resolve();
  let changes = 0;

  // Keeping

  function keep({ isChange = true } = {}) {
    if (isChange && entries.saved) entries.changed = true;
    seen = null;
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
  function part(of, key) {
    of[key] ??= {};
    if (paths.has(of)) paths.set(of[key], `${paths.get(of)}${key}.`);
    return of[key];
  }

  /** What the store knows where an entry would stand: {value, shown, day}, or null. `choices` are named by their words. */
  function was(of, key, choices = []) {
    const found = known && paths.has(of) ? known.values[`${paths.get(of)}${key}`] : null;
    if (!found) return null;
    const named = choices.find((one) => (one.key ?? one.value) === found[0]);
    return { value: found[0], shown: named?.words ?? named?.shown ?? found[0], day: dayOf(found[1]) };
  }

  /** Keep something for every vehicle on this device: who looks, and with which gauges. */
  function setDevice(key, value) {
    device[key] = structuredClone(value);
    writing = writing.then(() => bay.storage.keepDevice(structuredClone(device))).catch(() => {});
  }

  /** The day by the device's clock: 2026-10-04. */
  const today = () => globalThis.moments.momentOf(new Date()).slice(0, 10);

  function dayOf(day) {
    if (!day) return "";
    const isThisYear = day.slice(0, 4) === today().slice(0, 4);
    const look = { month: "short", day: "numeric", timeZone: "UTC", ...(isThisYear ? {} : { year: "numeric" }) };
    return new Intl.DateTimeFormat(vocabulary.locale, look).format(new Date(`${day}T00:00Z`));
  }

  const typeOf = (file) =>
    file.type || { heic: "image/heic", heif: "image/heif" }[/[^.]*$/.exec(file.name)[0].toLowerCase()];

  /** Keep photos at places in the entries, [[of, key]], one after another; the rest in `list`. */
  async function keepPhotos(files, places, list = null) {
    kept.textContent = "";
    for (const [number, file] of files.entries()) {
      const type = typeOf(file);
      if (!/^image\/(jpeg|png|webp|heic|heif)$/.test(type || "")) {
        kept.textContent = filled(say.not_saved, { why: type || file.name });
        return;
      }
      if (number >= places.length && !list) break;
      const photo = crypto.randomUUID ? crypto.randomUUID() : `${Date.now()}-${Math.random()}`;
      try {
        await bay.storage.keepPhoto(photo, entries.id, await file.arrayBuffer(), type);
      } catch {
        kept.textContent = say.not_kept;
        return;
      }
      addresses.set(photo, URL.createObjectURL(file));
      if (number < places.length) {
        const [of, key] = places[number];
        if (of[key]) forget(of[key].photo);
        of[key] = { photo, type };
      } else list.push({ photo, type });
      keep();
    }
    show();
  }

  /** Forget a photo once the entries that no longer name it are kept. */
  function forget(photo) {
    writing.then(() => bay.storage.forgetPhoto(photo));
    URL.revokeObjectURL(addresses.get(photo));
    addresses.delete(photo);
  }

  // Ways through the page, and their steps

  function stations() {
    const had = pointsOf(page.seen, vocabulary);
    return vocabulary.stations.filter(({ key }) => had.some((point) => point.station === key));
  }

  function ways() {
    const wheel = (one) => ({ key: `wheel ${one.key}`, words: filled(say.step_wheel, { what: one.words }) });
    const vehicle = { key: "vehicle", words: say.step_vehicle };
    return [
      {
        words: say.way_measure,
        steps: [
          ...(known ? [] : [vehicle]),
          { key: "today", words: say.step_today },
          ...page.wheels.map(wheel),
          { key: "wheel spare", words: say.step_spare },
          { key: "fluids", words: say.step_fluids },
          { key: "wear", words: say.step_wear },
        ],
      },
      {
        words: say.way_walk,
        steps: [
          ...stations().map((station) => ({ key: `checks ${station.key}`, words: station.words })),
          { key: "defects", words: say.step_defects },
        ],
      },
      {
        words: say.way_photograph,
        steps: [
          { key: "photos", words: say.step_photos },
          { key: "film", words: say.step_film },
        ],
      },
      {
        words: say.way_finish,
        steps: [
          ...(known ? [vehicle] : []),
          { key: "papers", words: say.step_papers },
          { key: "services", words: say.step_services },
          { key: "work", words: say.step_work },
          { key: "offer", words: say.step_offer },
          { key: "finish", words: say.step_finish },
        ],
      },
    ];
  }

  const steps = () => ways().flatMap((way) => way.steps);

  function go(to, { isBack = false } = {}) {
    if (!isBack) history.pushState({ step: to, id: entries?.id, depth: (history.state?.depth || 0) + 1 }, "");
    step = to;
    if (entries && !ASIDE.includes(to)) {
      entries.step = to;
      keep({ isChange: false });
    }
    show();
    scrollTo({ top: 0, behavior: "instant" });
    main.focus({ preventScroll: true });
  }

  /** Go back one screen: the one before this, whichever way it was reached. */
  function back() {
    if (history.state?.depth) history.back();
    else go("list", { isBack: true });
  }

  async function wentBack({ state }) {
    const to = state?.step || "list";
    if (to !== "list" && state.id !== entries?.id) {
      const found = (await bay.storage.vehicles()).find(({ id }) => id === state.id);
      if (found) await open(found, to, { isBack: true });
      else go("list", { isBack: true });
      return;
    }
    go(to, { isBack: true });
  }

  function next() {
    const order = steps().map((one) => one.key);
    go(order[Math.min(order.indexOf(step) + 1, order.length - 1)]);
  }

  // What is missing

  /** Faults of what was entered now, and not of what the store has already. */
  function faults() {
    const found = mustHave(page.seen, vocabulary, today());
    if (!known) return found;
    const before = mustHave(bay.known.merged({ read_on: entries.read_on }, known), vocabulary, today());
    const isNew = (fault) => !before.some(({ step: at, words }) => at === fault.step && words === fault.words);
    const lacking = Object.keys(entries.looked || {}).flatMap((id) => lacksOfLook(id, entries.looked[id]));
    return [...found.filter(isNew), ...lacking];
  }

  function lacksOfLook(id, { now, done_words: done, reason }) {
    const what = bay.limits.nameOf({ ...known.defects.find((one) => one.id === id), known: id }, entries, vocabulary);
    const lack = (words) => [{ step: "defects", words: `${what}: ${words}` }];
    if (now === "put right" && !(done || "").trim()) return lack(say.work_of);
    return now === "not found" && !(reason || "").trim() ? lack(say.reason) : [];
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
    const [must, may, held] = [faults(), mayHave(page.seen, vocabulary), holds(page.seen, vocabulary)];
    return [
      ...listed(say.holds_heading, held, "bay-told"),
      held.length ? made("p", { class: "bay-note" }, say.holds_note) : null,
      ...listed(say.must, must),
      ...listed(say.may, may),
      must.length + may.length ? null : made("p", {}, say.missing_none),
    ];
  }

  function finishStep() {
    if (faults().length) return missingStep();
    const { step: _, ...entered } = entries;
    const isEmpty =
      known && !bay.known.isTouched({ ...entered, id: "", of: "", name: "", begun: "", by: "", gauges: "" });
    return [...(isEmpty ? [made("p", {}, say.nothing_entered)] : page.saving.ways()), ...missingStep()];
  }

  /** All steps, by the ways: each with a mark if something was entered there, or how much is missing. */
  function stepsStep() {
    const lacks = [...faults(), ...mayHave(page.seen, vocabulary)];
    const line = ({ key, words }) => {
      const count = lacks.filter((lack) => lack.step === key).length;
      const isDone = known ? bay.steps.isTouched(key, entries, vocabulary) : !count && key !== "finish";
      const mark = isDone ? made("span", { class: "bay-done", role: "img", "aria-label": say.is_done }, "✓") : null;
      const open = !isDone && count ? made("span", { class: "bay-was" }, filled(say.step_open, { count })) : null;
      return made(
        "li",
        {},
        made(
          "button",
          { type: "button", class: "bay-button bay-line", onclick: () => go(key) },
          made("span", {}, words),
          mark,
          open,
        ),
      );
    };
    return ways().flatMap((way) => [
      made("h3", {}, way.words),
      made("ul", { class: "bay-list bay-steps" }, way.steps.map(line)),
    ]);
  }

  // Opening

  /** Open a vehicle that was begun on this device. */
  async function open(found, at, more) {
    const loaded = found.of ? await bay.known.load(found.of) : null;
    entries = found;
    known = loaded && bay.known.inLanguage(loaded, vocabulary.language);
    if (known) known.stock = found.of;
    seen = null;
    paths.set(entries, "");
    for (const photo of bay.steps.photosOf(entries)) {
      const stored = addresses.has(photo) ? null : await bay.storage.photo(photo);
      if (stored) addresses.set(photo, URL.createObjectURL(new Blob([stored.bytes], { type: stored.type })));
    }
    go(at || (found.step ?? (found.of ? "steps" : "vehicle")), more);
  }

  const freshId = () => `${Date.now()}-${Math.floor(Math.random() * 1e6)}`;
  const whoAndGauges = () => structuredClone({ by: device.by || "", gauges: device.gauges || {} });

  const begin = () => open({ id: freshId(), begun: today(), read_on: today(), ...whoAndGauges() }, "vehicle");

  /** Begin a visit to a vehicle of the store. */
  const look = ({ stock, name }) =>
    open({ id: freshId(), begun: today(), of: stock, name, ...whoAndGauges() }, "steps");

  // Showing

  const page = {
    vocabulary,
    set,
    setAndShow,
    part,
    was,
    keep,
    show,
    today,
    dayOf,
    keepPhotos,
    forget,
    setDevice,
    next,
    open,
    begin,
    look,
    addressOf: (photo) => addresses.get(photo),
    saved(on) {
      Object.assign(entries, { saved: on, changed: false });
      keep({ isChange: false });
    },
    get entries() {
      return entries;
    },
    get known() {
      return known;
    },
    get seen() {
      seen ??= bay.known.merged(entries, known);
      return seen;
    },
    get wheels() {
      const has = wheelsOf(page.seen, vocabulary);
      return WALK.map((key) => has.find((wheel) => wheel.key === key)).filter(Boolean);
    },
    get status() {
      const shown = vocabulary.status.find(({ key }) => key === known.status)?.words ?? known.status;
      return { value: known.status, shown, day: dayOf(known.day) };
    },
  };
  page.answers = bay.answers(page);
  page.saving = bay.saving(page);
  const { checks: checksStep, wheelPhotos, ...looking } = bay.seeing(page);
  page.wheelPhotos = wheelPhotos;
  const { wheel: wheelStep, ...measured } = bay.measuring(page);
  const listOf = bay.list(page);
  const asked = { ...measured, ...looking, ...bay.life(page), ...bay.filming(page), ...bay.office(page) };

  function content() {
    const [kind, ...rest] = step.split(" ");
    if (kind === "wheel") return wheelStep(rest.join(" "));
    if (kind === "checks") return checksStep(rest.join(" "));
    return { ...asked, steps: stepsStep, missing: missingStep, finish: finishStep }[kind]();
  }

  async function showList() {
    let all = [];
    try {
      await writing;
      all = await bay.storage.vehicles();
    } catch {
      kept.textContent = say.not_kept;
    }
    if (step !== "list") return;
    main.replaceChildren(...listOf(all));
    foot.replaceChildren();
  }

  /** The vehicle on every screen: its picture, stock number and name. */
  function showVehicle() {
    const listed = vocabulary.vehicles.find(({ stock }) => stock === entries?.of);
    const name = listed?.name || [entries?.year, entries?.make, entries?.model].filter(Boolean).join(" ");
    const own = entries && bay.steps.photosOf({ views: entries.views })[0];
    const source = listed?.picture || addresses.get(own);
    const picture = source ? made("img", { src: source, alt: "", class: "bay-seen" }) : "";
    const stock = entries?.of || entries?.stock || say.no_stock;
    shownVehicle.hidden = !entries || step === "list";
    shownVehicle.replaceChildren(picture, made("strong", {}, stock), made("span", {}, name));
  }

  function show() {
    if (!entries) step = "list";
    showVehicle();
    for (const link of document.querySelectorAll(".bay-language"))
      link.hash = step === "list" ? "" : `${entries.id}/${encodeURIComponent(step)}`;
    if (step === "list") {
      showList();
      return;
    }
    const focused = document.activeElement?.id;
    const title =
      steps().find((one) => one.key === step)?.words ?? (step === "missing" ? say.missing_heading : say.steps);
    main.replaceChildren(made("h2", {}, title), ...content().flat().filter(Boolean));
    if (focused && focused !== "bay") document.getElementById(focused)?.focus({ preventScroll: true });
    showFoot();
  }

  function showFoot() {
    if (step === "list") return;
    const order = steps().map((one) => one.key);
    const count = faults().length + mayHave(page.seen, vocabulary).length;
    const look = holds(page.seen, vocabulary).length ? "bay-held" : "";
    const isLast = ASIDE.includes(step) || step === order.at(-1);
    const made_of = [
      button(say.back, back),
      step === "steps" ? button(say.vehicles_all, () => go("list")) : button(say.steps, () => go("steps")),
      button(filled(say.missing, { count }), () => go("missing"), look),
      isLast
        ? button(say.step_finish, () => go("finish"), "bay-main-button")
        : button(say.next, next, "bay-main-button"),
    ];
    foot.replaceChildren(...made_of);
  }

  /** Begin on the screen that the page in the other language was left at. */
  async function start() {
    const [id, at] = location.hash.slice(1).split("/");
    history.replaceState({ step: "list", depth: 0 }, "", location.pathname + location.search);
    addEventListener("popstate", wentBack);
    try {
      device = await bay.storage.device();
      const found = id && (await bay.storage.vehicles()).find((one) => one.id === id);
      if (found) return await open(found, decodeURIComponent(at));
    } catch {
      kept.textContent = say.not_kept;
    }
    show();
  }

  if ("serviceWorker" in navigator && location.protocol.startsWith("http")) {
    navigator.serviceWorker.register("keeper.js").catch(() => {}); // without it the page still works with a network
  }
  navigator.storage?.persist?.();
  start();
})();
