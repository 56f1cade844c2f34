// The steps at the desk: papers, price and equipment, work and promises, status.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.office = (page) => {
  const { made, text, choice, button, toggle } = bay.entries;
  const { filled } = bay.limits;
  const { vocabulary, set, setAndShow, part, keep, show, was } = page;
  const say = vocabulary.words;
  const { units } = vocabulary;
  const field = (of, key, words, more) => text(key, words, of[key], set(of, key), { was: was(of, key), ...more });
  const named = (keys) => Object.entries(keys).map(([key, words]) => ({ key, words: say[words] }));

  function papersStep() {
    const { entries, seen } = page;
    const brands = named({
      "": was(entries, "brand") ? "as_before" : "brand_unseen",
      none: "brand_none",
      some: "brand_some",
    });
    const recalls = named({
      "": was(entries, "recalls") ? "as_before" : "recalls_unseen",
      none: "recalls_none",
      some: "recalls_some",
    });
    const statements = named({
      "": was(entries, "statement") ? "as_before" : "statement_unsaid",
      actual: "statement_actual",
      "not actual": "statement_not_actual",
      "exceeds mechanical limits": "statement_exceeds",
      exempt: "statement_exempt",
    });
    const lookedUp = (value) => {
      if (value && !entries.recalls_on) entries.recalls_on = page.today();
      setAndShow(entries, "recalls")(value);
    };
    const chosen = (key, choices, tell = setAndShow(entries, key)) =>
      choice(key, say[key], choices, entries[key], tell, "", was(entries, key, choices));
    return [
      chosen("statement", statements),
      chosen("brand", brands),
      seen.brand === "some" ? field(entries, "brand_words", say.brand_words, {}) : null,
      chosen("recalls", recalls, lookedUp),
      seen.recalls === "some" ? field(entries, "recalls_words", say.recalls_words, { rows: 3 }) : null,
      entries.recalls ? field(entries, "recalls_on", say.recalls_on, { type: "date" }) : null,
    ];
  }

  function offerStep() {
    const { entries } = page;
    const equipment = part(entries, "equipment");
    const answers = (key) => named({ has: "has", lacks: "lacks", "": was(equipment, key) ? "as_before" : "unseen" });
    const statuses = [{ key: "", words: page.known ? say.as_before : say.status_preparing }, ...vocabulary.status];
    const told = made("p", { class: "bay-told", role: "status" });
    const tellPrice = () => {
      told.textContent = bay.limits.priceQuestion(entries.price, was(entries, "price")?.value, vocabulary);
    };
    tellPrice();
    const entered = (value) => {
      set(entries, "price")(value);
      tellPrice();
    };
    return [
      text("price", filled(say.price, { currency: units.currency }), entries.price, entered, {
        inputmode: "numeric",
        maxlength: 12,
        was: was(entries, "price"),
      }),
      told,
      page.known
        ? choice("status", say.status, statuses, entries.status, setAndShow(entries, "status"), "", page.status)
        : null,
      ...vocabulary.equipment.map(({ key, words }) =>
        choice(
          `has-${key}`,
          words,
          answers(key),
          equipment[key],
          setAndShow(equipment, key),
          "bay-finding bay-three",
          was(equipment, key, answers(key)),
        ),
      ),
      field(entries, "has_more", say.has_more, { rows: 3 }),
      field(entries, "lacks_more", say.lacks_more, { rows: 3 }),
      none("no_additions", say.additions, say.additions_none, "additions"),
      field(entries, "notes", say.notes, { rows: 4 }),
    ];
  }

  /** "There is none", said in one tap, where the store has not said it yet. */
  function none(key, words, sure, noted) {
    const is = page.known?.noted.includes(noted);
    const choices = [
      { key: "", words: is ? say.as_before : say.unsaid },
      { key: "none", words: sure },
    ];
    return choice(key, words, choices, page.entries[key] ? "none" : "", (value) =>
      setAndShow(page.entries, key)(value === "none"),
    );
  }

  /** A list of texts, each with further fields, and a button that adds one. `key` is the text's name in an entry. */
  function lines(list, words, add, more = () => null, key = "what") {
    const dropped = (place) => () => {
      list.splice(place, 1);
      keep();
      show();
    };
    const added = () => {
      list.push({});
      keep();
      show();
    };
    return [
      ...list.map((one, place) =>
        made(
          "div",
          { class: "bay-card" },
          text(`${add}-${place}`, words, one[key], set(one, key), { rows: 2 }),
          more(one, place),
          button(say.remove, dropped(place)),
        ),
      ),
      button(add, added),
    ];
  }

  function workStep() {
    const { entries } = page;
    entries.work ??= [];
    entries.promises ??= [];
    entries.harmless ??= [];
    const kept = part(entries, "kept_promises");
    const known = page.known?.promises || [];
    const ways = vocabulary.repairs;
    return [
      made("h3", {}, say.promises),
      ...known.map((promise) =>
        promise.id
          ? toggle(
              `kept-${promise.id}`,
              filled(say.promise_kept, { what: promise.what }),
              Boolean(kept[promise.id]?.done),
              (is) => setAndShow(part(kept, promise.id), "done")(is),
            )
          : made("p", { class: "bay-was" }, filled(say.promise_unnamed, { what: promise.what })),
      ),
      ...lines(entries.promises, say.promise, say.add_promise, (one, place) =>
        choice(`promise-${place}-by`, say.promise_by, ways, one.by, setAndShow(one, "by")),
      ),
      entries.promises.length || known.length
        ? null
        : none("no_promises", say.promises, say.promises_none, "before_delivery"),
      made("h3", {}, say.work_done),
      ...lines(entries.work, say.work_what, say.add_work, (one, place) =>
        text(`work-${place}-on`, say.work_on, one.on, set(one, "on"), { type: "date" }),
      ),
      entries.work.length || page.known?.noted.includes("work_done")
        ? null
        : none("no_work", say.work_done, say.work_none, "work_done"),
      made("h3", {}, say.harmless),
      made("p", { class: "bay-note" }, say.harmless_help),
      ...lines(
        entries.harmless,
        say.harmless_words,
        say.add_harmless,
        (one, place) => text(`harmless-${place}-because`, say.because, one.because, set(one, "because"), { rows: 2 }),
        "words",
      ),
    ];
  }

  return { papers: papersStep, offer: offerStep, work: workStep };
};
