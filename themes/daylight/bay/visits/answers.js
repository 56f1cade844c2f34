// What is asked where the gate would hold the page: whether it is a matter of safety, and what the store will do about it.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, and how a change is kept. */
bay.answers = (page) => {
  const { made, text, choice, button } = bay.entries;
  const { vocabulary, set, setAndShow, was, keep, show } = page;
  const say = vocabulary.words;
  const RANK = ["looks", "function", "safety"];

  /** What a finding affects; one that affects less than usual needs a reason, which the page shows. */
  function affects(id, of, { usually = "safety" } = {}) {
    const before = was(of, "affects", vocabulary.affects);
    const chosen = of.affects || before?.value;
    const isLess = chosen && RANK.indexOf(chosen) < RANK.indexOf(usually);
    return made(
      "div",
      {},
      choice(id, say.affects, vocabulary.affects, of.affects, setAndShow(of, "affects"), "", before),
      isLess || of.because
        ? text(`${id}-because`, say.because, of.because, set(of, "because"), { rows: 2, was: was(of, "because") })
        : null,
    );
  }

  /** What holds the page, and the promise that answers it: one tap for the usual one, in words that can be changed. */
  function promise(id, of, held, usual, by = "replaced") {
    const promising = () => {
      of.promise = { what: usual, by };
      keep();
      show();
    };
    const taken = () => {
      delete of.promise;
      keep();
      show();
    };
    const ways = vocabulary.repairs.filter(({ key }) => key);
    return made(
      "div",
      { class: "bay-answer" },
      made("p", { class: "bay-told" }, `${held}. ${say.holds_note}`),
      of.promise
        ? [
            text(id, say.promise, of.promise.what, set(of.promise, "what"), { rows: 2 }),
            choice(`${id}-by`, say.promise_by, ways, of.promise.by, setAndShow(of.promise, "by")),
            button(say.promise_not, taken),
          ]
        : button(bay.limits.filled(say.promise_so, { what: usual }), promising),
    );
  }

  return { affects, promise };
};
