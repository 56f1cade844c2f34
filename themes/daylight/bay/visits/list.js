// The first screen lists the vehicles of the store, and the entries begun on this device.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, and how a vehicle is opened. */
bay.list = (page) => {
  const { made, button } = bay.entries;
  const { filled } = bay.limits;
  const { vocabulary, show } = page;
  const say = vocabulary.words;

  const nameOf = (entries) =>
    [
      entries.stock || entries.of || say.no_stock,
      entries.name || [entries.year, entries.make, entries.model].filter(Boolean).join(" "),
    ]
      .filter(Boolean)
      .join(" ");

  function clearing(entries, row) {
    const ask = (question, yes, act) =>
      row.replaceChildren(
        made("p", { role: "alert" }, question),
        made("div", { class: "bay-row" }, button(yes, act, "bay-grave"), button(say.keep, show)),
      );
    ask(say.clear_once, say.clear_first, () =>
      ask(say.clear_twice, say.clear_last, async () => {
        await bay.storage.clear(entries.id);
        show();
      }),
    );
  }

  /** Who entered what and when, and whether it was saved: "October 15, our lead technician. Not saved yet." */
  function stateOf(entries) {
    const who = [page.dayOf(entries.read_on || entries.begun), entries.by].filter(Boolean).join(", ");
    const isSaved = entries.saved && !entries.changed;
    return `${who}. ${isSaved ? filled(say.is_saved, { when: entries.saved.slice(0, 16).replace("T", " ") }) : say.is_not_saved}`;
  }

  function begun(entries) {
    const item = made("li", { class: "bay-card" });
    const name = nameOf(entries);
    const called = (words) => ({ "aria-label": `${words}: ${name}` });
    item.append(
      made("h3", {}, name),
      made("p", { class: "bay-note" }, stateOf(entries)),
      made(
        "div",
        { class: "bay-row" },
        button(say.open, () => page.open(entries), "", called(say.open)),
        button(say.clear, () => clearing(entries, item), "", called(say.clear)),
      ),
    );
    return item;
  }

  function inStore(vehicle, all) {
    const picture = vehicle.picture
      ? made("img", { src: vehicle.picture, alt: "", class: "bay-seen" })
      : made("span", { class: "bay-seen" });
    const state = [vocabulary.status.find(({ key }) => key === vehicle.status)?.words, page.dayOf(vehicle.day)];
    const opening = () => {
      const open = all.find((entries) => entries.of === vehicle.stock && (!entries.saved || entries.changed));
      return open ? page.open(open) : page.look(vehicle);
    };
    return made(
      "li",
      {},
      made(
        "button",
        { type: "button", class: "bay-button bay-line bay-vehicle-line", onclick: opening },
        picture,
        made(
          "span",
          {},
          made("strong", {}, `${vehicle.stock} ${vehicle.name}`),
          made("span", { class: "bay-was" }, state.filter(Boolean).join(" · ")),
        ),
      ),
    );
  }

  return (all) => [
    made("p", {}, say.introduction),
    button(say.new_vehicle, page.begin, "bay-main-button"),
    all.length ? made("h2", {}, say.vehicles) : "",
    made("ul", { class: "bay-list" }, all.map(begun)),
    vocabulary.vehicles.length ? made("h2", {}, say.in_store) : "",
    made(
      "ul",
      { class: "bay-list" },
      vocabulary.vehicles.map((vehicle) => inStore(vehicle, all)),
    ),
  ];
};
