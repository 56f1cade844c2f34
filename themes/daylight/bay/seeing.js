// The steps for check points, defects and photos.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.seeing = (page) => {
  const { made, text, choice, picked, button, photoWays } = bay.entries;
  const { filled, pointsOf } = bay.limits;
  const { vocabulary, set, setAndShow, part, keep, show, was } = page;
  const say = vocabulary.words;

  function checksStep(station) {
    const checks = part(page.entries, "checks");
    const points = pointsOf(page.seen, vocabulary).filter((point) => point.station === station);
    const open = points.filter(
      ({ key }) => !checks[key]?.finding && was(part(checks, key), "finding")?.value !== "attention",
    );
    const others = () => {
      for (const { key } of open) checks[key].finding = "good";
      keep();
      page.next();
    };
    return [
      ...points.map((point) => pointField(point, part(checks, point.key))),
      open.length ? button(filled(say.others_good, { count: open.length }), others, "bay-main-button") : null,
    ];
  }

  function pointField(point, check) {
    const before = was(check, "finding", vocabulary.finding);
    const empty = { key: "", words: before ? say.as_before : say.finding_open };
    const unchecked = vocabulary.finding.map((one) => (one.key === "not checked" ? empty : one));
    const look = "bay-finding";
    const told = bay.limits.concerns(page.seen, vocabulary).find(({ where }) => where === `checks.${point.key}`);
    const is = check.finding === "attention";
    return made(
      "div",
      { class: "bay-point" },
      choice(point.key, point.words, unchecked, check.finding, setAndShow(check, "finding"), look, before),
      is
        ? text(`${point.key}-note`, say.note, check.note, set(check, "note"), { rows: 2, was: was(check, "note") })
        : null,
      is && point.safety ? page.answers.affects(`${point.key}-affects`, check) : null,
      told && check.finding === "not fitted"
        ? text(`${point.key}-because`, say.because, check.because, set(check, "because"), { rows: 2 })
        : null,
      told
        ? page.answers.promise(
            `${point.key}-promise`,
            check,
            told.words,
            filled(say.promise_point, { what: point.words }),
          )
        : null,
    );
  }

  function bodyDrawing(name, defect) {
    const drawing = document.querySelector(`template[data-body="${page.seen.body}"]`);
    if (!drawing) {
      return picked(
        `${name}-station`,
        say.where,
        vocabulary.stations,
        defect.station,
        setAndShow(defect, "station"),
        say,
      );
    }
    const pins = vocabulary.stations.map((station, place) => {
      const input = made("input", {
        type: "radio",
        name: `${name}-station`,
        id: `${name}-station-${place}`,
        value: station.key,
        onchange: () => setAndShow(defect, "station")(station.key),
      });
      input.checked = defect.station === station.key;
      const pin = made("label", { class: "bay-pin" }, input, made("span", {}, station.words));
      const [left, top] = vocabulary.places[page.seen.body][station.key];
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

  /** A photo under one key, with its marks. Several at once go to the places in `more.others`, in their order. */
  function photoField(name, words, of, key, more = {}) {
    const { heading = "h4", others = [], ...marks } = more;
    const entry = of[key];
    const address = entry && page.addressOf(entry.photo);
    const tell = (files) => page.keepPhotos(files, [[of, key], ...others]);
    return made(
      "section",
      { class: "bay-photos", "aria-label": words },
      made(heading, {}, words),
      photoWays(name, words, tell, say, { several: others.length > 0 }),
      address ? bay.photoMarks.figure(address, entry, words, keep, vocabulary, marks) : null,
    );
  }

  function photosOfDefect(name, defect) {
    const isOnly = () => [defect.close, defect.far, ...(defect.photos || [])].filter(Boolean).length === 1;
    return [
      photoField(`${name}-close`, say.photo_close, defect, "close", {
        canMark: true,
        canMeasure: true,
        isOnly,
        others: defect.far ? [] : [[defect, "far"]],
      }),
      photoField(`${name}-far`, say.photo_where, defect, "far", { canMark: true, isOnly }),
    ];
  }

  function sizeFields(name, defect) {
    const sizes = vocabulary.units.sizes.map((unit) => ({ key: unit, words: unit === "in" ? say.inches : unit }));
    const unit = defect.unit || sizes[0].key;
    return [
      text(`${name}-size`, `${say.length}, ${unit === "in" ? say.inches : unit}`, defect.size, set(defect, "size"), {
        inputmode: "decimal",
        placeholder: say.not_measured,
      }),
      sizes.length > 1 ? choice(`${name}-unit`, say.length, sizes, unit, setAndShow(defect, "unit")) : null,
    ];
  }

  /** The kinds that most vehicles have, each one tap, or the others. */
  const kindsOf = (isUsual) => vocabulary.kinds.filter(({ key }) => vocabulary.usual_kinds.includes(key) === isUsual);

  function defectCard(defect, place) {
    const name = `defect-${place + 1}`;
    const words = filled(say.defect, { number: place + 1 });
    const kind = vocabulary.kinds.find((one) => one.key === defect.kind);
    const held = bay.limits.concerns({ defects: [defect] }, vocabulary)[0];
    const done = [
      ["", say.unsaid],
      ["left", say.done_left],
      ["told", say.done_told],
    ].map(([key, told]) => ({ key, words: told }));
    // What the kind usually affects is chosen at first, and anything else is one more tap.
    const setKind = (key) => {
      const usual = vocabulary.kinds.find((one) => one.key === key)?.usually;
      if (!defect.affects || defect.affects === kind?.usually) defect.affects = usual;
      setAndShow(defect, "kind")(key);
    };
    const promised = filled(say.promise_defect, { what: kind?.words || words, part: defect.part || "" });
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      bodyDrawing(name, defect),
      defect.station === "wheels"
        ? choice(`${name}-wheel`, say.wheel, vocabulary.at_wheel, defect.wheel, setAndShow(defect, "wheel"))
        : null,
      text(`${name}-part`, say.part, defect.part, set(defect, "part")),
      choice(`${name}-usual`, say.kind, kindsOf(true), defect.kind, setKind, "bay-finding bay-three"),
      picked(`${name}-kind`, say.kind_other, kindsOf(false), defect.kind, setKind, say),
      page.answers.affects(`${name}-affects`, defect, { usually: kind?.usually }),
      held ? page.answers.promise(`${name}-promise`, defect, filled(held.plain, { what: words }), promised) : null,
      sizeFields(name, defect),
      kind?.is_rust
        ? text(`${name}-rusted`, say.rusted, defect.rusted, set(defect, "rusted"), {
            inputmode: "decimal",
            placeholder: say.not_measured,
          })
        : null,
      text(`${name}-words`, say.words, defect.words, set(defect, "words"), { rows: 3 }),
      ...photosOfDefect(name, defect),
      choice(`${name}-done`, say.done, done, defect.done, setAndShow(defect, "done")),
      defect.done === "told"
        ? text(`${name}-done-words`, say.done_words, defect.done_words, set(defect, "done_words"), { rows: 2 })
        : null,
      removing(page.entries.defects, place, [defect.close, defect.far]),
    );
  }

  /** A defect that the store knows: what has become of it. */
  function knownCard(defect) {
    const looked = part(part(page.entries, "looked"), defect.id);
    const { words: kind } = vocabulary.kinds.find((one) => one.key === defect.kind) || { words: defect.kind };
    const name = `known-${defect.id}`;
    const words = `${kind}, ${defect.part}`;
    const picture = page.known.pictures.includes(defect.id)
      ? made("img", { src: `seen-${page.known.stock}.${defect.id}.jpg`, alt: "", class: "bay-seen" })
      : null;
    const now = [{ key: "", words: say.not_looked }, ...vocabulary.now];
    const affects = looked.affects || defect.affects;
    const held = bay.limits.concerns({ defects: [{ ...defect, affects }] }, vocabulary)[0];
    const fields = {
      worse: () => [
        ...sizeFields(name, looked),
        text(`${name}-words`, say.words, looked.words, set(looked, "words"), { rows: 3 }),
        page.answers.affects(`${name}-affects`, looked, { usually: defect.affects }),
        ...photosOfDefect(name, looked),
      ],
      "same as before": () => photosOfDefect(name, looked),
      "put right": () => [
        text(`${name}-done`, say.work_of, looked.done_words, set(looked, "done_words"), { rows: 2 }),
        photoField(`${name}-close`, say.photo_repaired, looked, "close", { canMark: false }),
      ],
      "not found": () => [text(`${name}-reason`, say.reason, looked.reason, set(looked, "reason"), { rows: 2 })],
    };
    const isAnswered = bay.limits.isPromised({ settles: defect.id }, page.seen);
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      made(
        "div",
        { class: "bay-known-defect" },
        picture,
        made(
          "p",
          { class: "bay-was" },
          `${page.dayOf(defect.on)}: ${defect.words}`,
          defect.size_written ? ` ${defect.size_written}` : "",
        ),
      ),
      choice(`${name}-now`, say.now, now, looked.now, setAndShow(looked, "now")),
      ...(fields[looked.now]?.() || []),
      held && !bay.known.isGone(looked) && (looked.promise || !isAnswered)
        ? page.answers.promise(
            `${name}-promise`,
            looked,
            filled(held.plain, { what: words }),
            filled(say.promise_defect, { what: kind, part: defect.part }),
          )
        : null,
    );
  }

  function removing(list, place, photos) {
    return asked(say.remove, say.remove_sure, () => {
      for (const photo of photos) if (photo) page.forget(photo.photo);
      list.splice(place, 1);
      keep();
      show();
    });
  }

  /** Return a button that needs a second tap to confirm. */
  function asked(words, sure, act) {
    const first = button(words, () =>
      first.replaceWith(made("div", { class: "bay-row" }, button(sure, act, "bay-grave"), button(say.keep, show))),
    );
    return first;
  }

  function defectsStep() {
    const { entries } = page;
    entries.defects ??= [];
    const { defects } = entries;
    const add = () => {
      defects.push({});
      entries.no_defects = false;
      keep();
      show();
      [...document.querySelectorAll(".bay-card")].at(-1).scrollIntoView();
    };
    const none = [
      { key: "", words: say.no_defects_unsaid },
      { key: "none", words: say.no_defects },
    ];
    const known = page.known?.defects || [];
    return [
      ...known.map(knownCard),
      defects.length || known.length
        ? null
        : choice("no_defects", say.step_defects, none, entries.no_defects ? "none" : "", (value) =>
            setAndShow(entries, "no_defects")(value === "none"),
          ),
      ...defects.map(defectCard),
      button(say.add_defect, add, "bay-main-button"),
    ];
  }

  function photosStep() {
    const { entries } = page;
    const views = part(entries, "views");
    entries.more ??= [];
    const { more } = entries;
    const add = () => {
      more.push({});
      keep();
      show();
      [...document.querySelectorAll(".bay-card")].at(-1).scrollIntoView();
    };
    const other = (one, place) => {
      const words = filled(say.more_photo, { number: place + 1 });
      return made(
        "div",
        { class: "bay-card" },
        photoField(`more-${place + 1}`, words, one, "seen", { heading: "h3" }),
        text(`more-${place + 1}-words`, say.more_words, one.words, set(one, "words"), { rows: 2 }),
        removing(more, place, [one.seen]),
      );
    };
    const names = Object.keys(bay.VIEWS);
    const after = (view) => names.slice(names.indexOf(view) + 1).filter((one) => !views[one]);
    const fieldOf = (view) =>
      photoField(view, say[view], views, view, { heading: "h3", others: after(view).map((one) => [views, one]) });
    return [
      made("p", { class: "bay-note" }, say.several_photos),
      ...names.map(fieldOf),
      ...more.map(other),
      button(say.add_photo, add),
    ];
  }

  /** Photos of a wheel, several at once, each with its covers. */
  function wheelPhotos(wheel) {
    const photos = part(page.entries, "wheel_photos");
    photos[wheel.key] ??= [];
    const list = photos[wheel.key];
    const words = filled(say.photos_of, { what: wheel.words });
    const tell = (files) => page.keepPhotos(files, [], list);
    return made(
      "section",
      { class: "bay-photos", "aria-label": words },
      made("h3", {}, words),
      photoWays(`photos-${wheel.key}`, words, tell, say, { several: true }),
      ...list.map((entry, place) =>
        made(
          "div",
          {},
          page.addressOf(entry.photo)
            ? bay.photoMarks.figure(page.addressOf(entry.photo), entry, `${words} ${place + 1}`, keep, vocabulary, {})
            : null,
          removing(list, place, [entry]),
        ),
      ),
    );
  }

  return { checks: checksStep, defects: defectsStep, photos: photosStep, wheelPhotos };
};
