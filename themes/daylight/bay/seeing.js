// The steps for check points, defects and photos.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.seeing = (page) => {
  const { made, text, choice, picked, button, photoWays } = bay.entries;
  const { filled, pointsOf } = bay.limits;
  const { vocabulary, set, setAndShow, part, keep, show } = page;
  const say = vocabulary.words;

  function checksStep(station) {
    const checks = part(page.entries, "checks");
    const unchecked = vocabulary.finding.map((one) => (one.key === "not checked" ? { ...one, key: "" } : one));
    return pointsOf(page.entries, vocabulary)
      .filter((point) => point.station === station)
      .map((point) => {
        const check = part(checks, point.key);
        return made(
          "div",
          { class: "bay-point" },
          choice(point.key, point.words, unchecked, check.finding, setAndShow(check, "finding"), "bay-finding"),
          check.finding === "attention"
            ? text(`${point.key}-note`, say.note, check.note, set(check, "note"), { rows: 2 })
            : null,
          check.finding === "attention" && point.safety
            ? made("p", { class: "bay-told" }, filled(say.hold_check, { what: point.words }))
            : null,
        );
      });
  }

  function bodyDrawing(name, defect) {
    const drawing = document.querySelector(`template[data-body="${page.entries.body}"]`);
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
      const [left, top] = vocabulary.places[page.entries.body][station.key];
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

  function photoField(name, words, of, key, more = {}) {
    const { heading = "h4", ...marks } = more;
    const entry = of[key];
    const address = entry && page.addressOf(entry.photo);
    return made(
      "section",
      { class: "bay-photos", "aria-label": words },
      made(heading, {}, words),
      photoWays(name, words, (file) => page.keepPhoto(of, key, file), say),
      address ? bay.photoMarks.figure(address, entry, words, keep, vocabulary, marks) : null,
    );
  }

  function defectCard(defect, place) {
    const name = `defect-${place + 1}`;
    const words = filled(say.defect, { number: place + 1 });
    const sizes = vocabulary.units.sizes.map((unit) => ({ key: unit, words: unit === "in" ? say.inches : unit }));
    const unit = defect.unit || sizes[0].key;
    const kind = vocabulary.kinds.find((one) => one.key === defect.kind);
    const held = bay.limits.holds({ defects: [defect] }, vocabulary)[0];
    const done = [
      ["", say.unsaid],
      ["left", say.done_left],
      ["told", say.done_told],
    ].map(([key, told]) => ({ key, words: told }));
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      bodyDrawing(name, defect),
      defect.station === "wheels"
        ? choice(`${name}-wheel`, say.wheel, vocabulary.at_wheel, defect.wheel, setAndShow(defect, "wheel"))
        : null,
      text(`${name}-part`, say.part, defect.part, set(defect, "part")),
      picked(`${name}-kind`, say.kind, vocabulary.kinds, defect.kind, setAndShow(defect, "kind"), say),
      choice(`${name}-affects`, say.affects, vocabulary.affects, defect.affects, setAndShow(defect, "affects")),
      held
        ? made(
            "p",
            { class: "bay-told" },
            filled(defect.affects === "safety" ? say.hold_defect : say.hold_tire, { what: words }),
          )
        : null,
      text(`${name}-size`, `${say.length}, ${unit === "in" ? say.inches : unit}`, defect.size, set(defect, "size"), {
        inputmode: "decimal",
        placeholder: say.not_measured,
      }),
      sizes.length > 1 ? choice(`${name}-unit`, say.length, sizes, unit, setAndShow(defect, "unit")) : null,
      kind?.is_rust
        ? text(`${name}-rusted`, say.rusted, defect.rusted, set(defect, "rusted"), {
            inputmode: "decimal",
            placeholder: say.not_measured,
          })
        : null,
      text(`${name}-words`, say.words, defect.words, set(defect, "words"), { rows: 3 }),
      photoField(`${name}-close`, say.photo_close, defect, "close", { canMark: true, canMeasure: true }),
      photoField(`${name}-far`, say.photo_where, defect, "far", { canMark: true }),
      choice(`${name}-done`, say.done, done, defect.done, setAndShow(defect, "done")),
      defect.done === "told"
        ? text(`${name}-done-words`, say.done_words, defect.done_words, set(defect, "done_words"), { rows: 2 })
        : null,
      removing(page.entries.defects, place, [defect.close, defect.far]),
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
    return [
      defects.length
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
    return [
      ...Object.keys(bay.VIEWS).map((view) => photoField(view, say[view], views, view, { heading: "h3" })),
      ...more.map(other),
      button(say.add_photo, add),
    ];
  }

  return { checks: checksStep, defects: defectsStep, photos: photosStep };
};
