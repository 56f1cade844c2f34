// The steps for what the outlook needs: how deep the parts were when new and when fitted, and what the bills say was done.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.life = (page) => {
  const { made, text, choice, button, toggle } = bay.entries;
  const { filled, servicesOf, isDrivenByBattery } = bay.limits;
  const { vocabulary, set, setAndShow, part, keep, show, was } = page;
  const say = vocabulary.words;
  const { units } = vocabulary;

  /** One field for several wheels: it shows what all of them have, and what is entered goes to each. */
  function together(group, wheels, key, more = {}) {
    const parts = wheels.map((wheel) => part(part(page.entries, group), wheel));
    const value = parts.every((one) => one[key] === parts[0][key]) ? parts[0][key] : "";
    const before = parts.map((one) => was(one, key, more.choices)).find(Boolean) || null;
    const tell = (entered) => {
      for (const one of parts) one[key] = entered;
      keep();
      if (more.choices) show();
    };
    return { value, before, tell };
  }

  function lifeFields(group, name, wheels, words, key, depths) {
    const depth = together(group, wheels, key, { choices: depths });
    const at = together(group, wheels, "fitted_at");
    const on = together(group, wheels, "fitted_on");
    const sinceNew = () => {
      at.tell("0");
      show();
    };
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      choice(
        `${name}-new`,
        say.depth_new,
        [{ key: "", words: depth.before ? say.as_before : say.not_known }, ...depths],
        depth.value,
        depth.tell,
        "bay-ruler",
        depth.before,
      ),
      text(`${name}-at`, filled(say.fitted_at, { unit: units.distance }), at.value, at.tell, {
        inputmode: "numeric",
        was: at.before,
      }),
      at.value ? null : button(say.since_new, sinceNew),
      text(`${name}-on`, say.fitted_month, on.value, on.tell, { was: on.before, placeholder: "2023-08" }),
    );
  }

  function wearStep() {
    const { entries } = page;
    const timings = [
      { key: "belt", words: say.belt },
      { key: "chain", words: say.chain },
    ];
    const treads = vocabulary.new_tread.map(({ value, shown }) => ({ key: value, words: shown, heard: value }));
    const linings = vocabulary.new_lining.map(({ value, shown }) => ({ key: value, words: shown, heard: value }));
    const all = vocabulary.axles.flatMap(({ wheels }) => wheels);
    const byAxle = Boolean(entries.tires_differ);
    const isOne = [
      { key: "", words: say.tires_same },
      { key: "axles", words: say.tires_by_axle },
    ];
    return [
      choice(
        "transmission",
        say.transmission,
        vocabulary.transmission,
        entries.transmission,
        setAndShow(entries, "transmission"),
        "bay-finding bay-three",
        was(entries, "transmission", vocabulary.transmission),
      ),
      isDrivenByBattery({ fuel: page.seen.fuel }, { driven_by_battery: vocabulary.no_timing })
        ? null
        : choice(
            "timing",
            say.timing,
            timings,
            entries.timing,
            setAndShow(entries, "timing"),
            "",
            was(entries, "timing", timings),
          ),
      choice("tires_differ", say.tires_differ, isOne, entries.tires_differ, setAndShow(entries, "tires_differ")),
      ...(byAxle
        ? vocabulary.axles.map(({ key, words, wheels }) =>
            lifeFields("tires", `tires-${key}`, wheels, filled(say.wear_tires, { what: words }), "new_tread", treads),
          )
        : [lifeFields("tires", "tires-all", all, say.wear_all_tires, "new_tread", treads)]),
      ...vocabulary.axles.map(({ key, words, wheels }) =>
        lifeFields(
          "brakes",
          `brakes-${key}`,
          wheels,
          filled(say.wear_brakes, { what: words }),
          "new_lining",
          linings,
        ),
      ),
    ];
  }

  /** What one bill or sticker says: when, at what reading, and which services, each a tap. */
  function billCard(bill, place) {
    const services = part(bill, "services");
    const words = filled(say.bill, { number: place + 1 });
    const dropped = () => {
      page.entries.bills.splice(place, 1);
      keep();
      show();
    };
    return made(
      "section",
      { class: "bay-card", "aria-label": words },
      made("h3", {}, words),
      text(`bill-${place}-at`, filled(say.bill_at, { unit: units.distance }), bill.at, set(bill, "at"), {
        inputmode: "numeric",
      }),
      text(`bill-${place}-on`, say.bill_on, bill.on, set(bill, "on"), { placeholder: "2026-05", inputmode: "text" }),
      made(
        "div",
        { class: "bay-options bay-services" },
        servicesOf(page.seen, vocabulary).map(({ key, words: shown }) =>
          toggle(`bill-${place}-${key}`, shown, Boolean(services[key]), (is) => setAndShow(services, key)(is)),
        ),
      ),
      button(say.remove, dropped),
    );
  }

  function servicesStep() {
    const { entries } = page;
    entries.bills ??= [];
    if (!entries.bills.length) entries.bills.push({});
    const add = () => {
      entries.bills.push({});
      keep();
      show();
    };
    const names = new Map(vocabulary.services.map(({ key, words }) => [key, words]));
    const known = (page.known?.services || []).map(({ service, done_on: on, at }) =>
      made(
        "li",
        { class: "bay-was" },
        [names.get(service) || service, on, at && `${at} ${units.distance}`].filter(Boolean).join(" · "),
      ),
    );
    return [
      made("p", { class: "bay-note" }, say.bills_help),
      known.length ? made("ul", { class: "bay-list" }, known) : null,
      ...entries.bills.map(billCard),
      button(say.add_bill, add),
    ];
  }

  return { wear: wearStep, services: servicesStep };
};
