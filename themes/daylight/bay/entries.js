// The controls of the bay page: text, choices, rulers. Each takes its label, its value, and a callback for changes.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.entries = (() => {
  /** Return an element: `made("p", {class: "soft"}, "words")`. Attributes that begin with "on" are event listeners. */
  function made(tag, attributes = {}, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else if (value === true) element.setAttribute(name, "");
      else if (value !== false && value !== undefined && value !== null) element.setAttribute(name, value);
    }
    element.append(...children.flat().filter((child) => child !== null && child !== undefined));
    return element;
  }

  /** What the store knows, in gray, with its day. `was` is {value, shown, day}, or null. */
  const dated = (was) => (was ? [" ", made("span", { class: "bay-was" }, `${was.shown} · ${was.day}`)] : []);

  /** A control under its label, with what the store knows as its description. */
  function named(id, words, was, control) {
    const known = was ? made("span", { id: `${id}-was` }, dated(was)) : null;
    if (known && !control.hasAttribute("aria-describedby")) control.setAttribute("aria-describedby", `${id}-was`);
    return made("p", { class: "bay-field" }, made("span", {}, made("label", { for: id }, words), known), control);
  }

  function text(id, words, value, tell, { was = null, ...more } = {}) {
    const input = made(more.rows ? "textarea" : "input", {
      id,
      class: "bay-text",
      autocomplete: "off",
      oninput: () => tell(input.value),
      ...more,
    });
    input.value = value || "";
    if (was && input.placeholder) input.placeholder = "";
    return named(id, words, was, input);
  }

  /** One of several, each a big target. `choices` is [{key, words, below}]; the first may be the empty one. */
  function choice(id, words, choices, value, tell, look = "", was = null) {
    return made(
      "fieldset",
      { class: `bay-choice ${look}` },
      made("legend", {}, words, dated(was)),
      made(
        "div",
        { class: "bay-options" },
        choices.map(({ key, words: shown, heard, below }, place) => {
          const input = made("input", {
            type: "radio",
            name: id,
            id: `${id}-${place}`,
            value: key,
            onchange: () => tell(key),
          });
          input.checked = (value || "") === key;
          if (heard) input.setAttribute("aria-label", heard);
          const looks = ["bay-option", below ? "bay-low" : "", was?.value === key ? "bay-before" : ""];
          return made("label", { class: looks.filter(Boolean).join(" ") }, input, made("span", {}, shown));
        }),
      ),
    );
  }

  /** A ruler to tap: "not measured", which is preset, and then each mark. */
  function ruler(id, words, marks, value, tell, say, was = null) {
    const choices = marks.map((mark) => ({
      key: mark.value,
      words: mark.shown,
      heard: mark.value,
      below: mark.below,
    }));
    const empty = { key: "", words: was ? say.as_before : say.not_measured };
    const field = choice(id, words, [empty, ...choices], value, tell, "bay-ruler", was);
    if (marks.some((mark) => mark.value === value && mark.below))
      field.append(made("p", { class: "bay-told" }, say.below));
    return field;
  }

  function picked(id, words, choices, value, tell, say, was = null) {
    const select = made("select", { id, class: "bay-text", onchange: () => tell(select.value) });
    select.append(made("option", { value: "" }, was ? say.as_before : say.choose));
    select.append(...choices.map((one) => made("option", { value: one.key }, one.words)));
    select.value = value || "";
    return named(id, words, was, select);
  }

  const button = (words, act, look = "", more = {}) =>
    made("button", { type: "button", class: `bay-button ${look}`, onclick: act, ...more }, words);

  /** Two buttons to add photos: the camera, and the device's gallery. `tell` gets a list of files. */
  function photoWays(id, words, tell, say, { several = false } = {}) {
    const way = (name, shown, more) => {
      const input = made("input", {
        type: "file",
        id: `${id}-${name}`,
        accept: "image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif",
        "aria-label": `${words}: ${shown}`,
        onchange: () => input.files.length && tell([...input.files]),
        ...more,
      });
      return made("label", { class: "bay-button bay-file" }, input, made("span", {}, shown));
    };
    return made(
      "div",
      { class: "bay-row" },
      way("camera", say.take, { capture: "environment" }),
      way("gallery", say.gallery, { multiple: several }),
    );
  }

  const opened = new Set(); // the folded parts, so that a step that is shown again keeps their state

  /** Less frequent fields, folded behind a line. */
  function fold(id, words, fields) {
    const details = made(
      "details",
      { class: "bay-fold", id },
      made("summary", { class: "bay-summary" }, words),
      made("div", { class: "bay-folded" }, fields),
    );
    details.open = opened.has(id);
    details.addEventListener("toggle", () => (details.open ? opened.add(id) : opened.delete(id)));
    return details;
  }

  /** A checkbox. */
  function toggle(id, words, value, tell) {
    const input = made("input", { type: "checkbox", id, onchange: () => tell(input.checked) });
    input.checked = value;
    return made("label", { class: "bay-option" }, input, made("span", {}, words));
  }

  return { made, text, choice, ruler, picked, button, photoWays, fold, toggle };
})();
