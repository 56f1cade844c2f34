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

  function text(id, words, value, tell, more = {}) {
    const input = made(more.rows ? "textarea" : "input", {
      id,
      class: "bay-text",
      autocomplete: "off",
      oninput: () => tell(input.value),
      ...more,
    });
    input.value = value || "";
    return made("p", { class: "bay-field" }, made("label", { for: id }, words), input);
  }

  /** One of several, each a big target. `choices` is [{key, words, below}]; the first may be the empty one. */
  function choice(id, words, choices, value, tell, look = "") {
    return made(
      "fieldset",
      { class: `bay-choice ${look}` },
      made("legend", {}, words),
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
          return made(
            "label",
            { class: below ? "bay-option bay-low" : "bay-option" },
            input,
            made("span", {}, shown),
          );
        }),
      ),
    );
  }

  /** A ruler to tap: "not measured", which is preset, and then each mark. */
  function ruler(id, words, marks, value, tell, say) {
    const choices = marks.map((mark) => ({
      key: mark.value,
      words: mark.shown,
      heard: mark.value,
      below: mark.below,
    }));
    const field = choice(id, words, [{ key: "", words: say.not_measured }, ...choices], value, tell, "bay-ruler");
    if (marks.some((mark) => mark.value === value && mark.below))
      field.append(made("p", { class: "bay-told" }, say.below));
    return field;
  }

  function picked(id, words, choices, value, tell, say) {
    const select = made("select", { id, class: "bay-text", onchange: () => tell(select.value) });
    select.append(made("option", { value: "" }, say.choose));
    select.append(...choices.map((one) => made("option", { value: one.key }, one.words)));
    select.value = value || "";
    return made("p", { class: "bay-field" }, made("label", { for: id }, words), select);
  }

  const button = (words, act, look = "", more = {}) =>
    made("button", { type: "button", class: `bay-button ${look}`, onclick: act, ...more }, words);

  /** Two buttons to add a photo: the camera, and the device's gallery. */
  function photoWays(id, words, tell, say) {
    const way = (name, shown, more) => {
      const input = made("input", {
        type: "file",
        id: `${id}-${name}`,
        accept: "image/jpeg,image/png,image/webp,image/heic",
        "aria-label": `${words}: ${shown}`,
        onchange: () => input.files[0] && tell(input.files[0]),
        ...more,
      });
      return made("label", { class: "bay-button bay-file" }, input, made("span", {}, shown));
    };
    return made(
      "div",
      { class: "bay-row" },
      way("camera", say.take, { capture: "environment" }),
      way("gallery", say.gallery, {}),
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
