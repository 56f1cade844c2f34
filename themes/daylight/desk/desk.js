// The interactive parts of the desk: count a message while it is edited, send or copy it, time a film.
"use strict";

(() => {
  const words = JSON.parse(document.getElementById("desk-words").textContent);
  const filled = (form, figures) => form.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
  const byId = (id) => document.getElementById(id);
  const number = byId("number");
  const textOf = (name) => byId(name).value ?? byId(name).textContent;

  // As sitegen/pages/desk/text_messages.py counts, with its sources.
  function messageLength(text) {
    const letters = [...text];
    const costly = [...new Set(letters.filter((one) => !(words.alphabet + words.extension).includes(one)))];
    const units = letters.map((one) => (costly.length ? one.length : words.extension.includes(one) ? 2 : 1));
    const [whole, part] = costly.length ? [70, 67] : [160, 153];
    const used = units.reduce((sum, unit) => sum + unit, 0);
    if (used <= whole) return { used, room: whole, parts: 1, costly };
    let parts = 1;
    let filledUp = 0;
    for (const unit of units) {
      if (filledUp + unit > part) [parts, filledUp] = [parts + 1, 0];
      filledUp += unit;
    }
    return { used, room: parts * part, parts, costly };
  }

  function withoutCostly(text) {
    const plain = (one) => ((words.alphabet + words.extension).includes(one) ? one : [...one.normalize("NFD")][0]);
    return [...text]
      .map(plain)
      .filter((one) => (words.alphabet + words.extension).includes(one))
      .join("");
  }

  function tellLength() {
    const text = textOf("message");
    const found = messageLength(text);
    const costly = { letters: found.costly.join(" "), fewer: messageLength(withoutCostly(text)).parts };
    byId("message-length").textContent = filled(words.length, found);
    byId("message-costly").textContent = found.costly.length ? filled(words.costly, costly) : "";
    byId("message-costly").hidden = !found.costly.length;
  }

  // RFC 5724: the number has its digits and a plus alone. Without one, phones ask to whom.
  function linkMessages() {
    const to = number.value.replace(/[^\d+]/g, "");
    for (const link of document.querySelectorAll("a[data-of]")) {
      link.href = `sms:${to}?body=${encodeURIComponent(textOf(link.dataset.of))}`;
    }
  }

  async function copy(button) {
    const text = textOf(button.dataset.of);
    let done = true;
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      // Some browsers keep the clipboard from a page opened from a folder.
      const field = document.body.appendChild(document.createElement("textarea"));
      field.value = text;
      field.select();
      done = document.execCommand("copy");
      field.remove();
      button.focus();
    }
    byId(`${button.dataset.of}-length`).textContent = done ? words.copied : words.not_copied;
  }

  for (const part of document.querySelectorAll(".desk-scripted, .desk-copy")) part.hidden = false;
  number.addEventListener("input", linkMessages);
  byId("message").addEventListener("input", () => {
    tellLength();
    linkMessages();
  });
  for (const button of document.querySelectorAll(".desk-copy")) button.addEventListener("click", () => copy(button));

  const stations = [...document.querySelectorAll(".desk-walk > li")];
  let at = -1;
  let ends = 0;
  let ticking;
  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  function tick() {
    const left = Math.ceil((ends - Date.now()) / 1000);
    byId("film-clock").textContent = left >= 0 ? clock(left) : `+${clock(-left)}`;
    if (left < 0) byId("film-clock").textContent += ` ${words.over}`;
  }
  function goTo(place) {
    stations[at]?.classList.remove("desk-now");
    stations[at]?.removeAttribute("aria-current");
    clearInterval(ticking);
    at = place < stations.length ? place : -1;
    const station = stations[at];
    byId("film-now").textContent = station
      ? filled(words.left, { station: station.dataset.name, place: at + 1, all: stations.length })
      : "";
    byId("film-clock").textContent = "";
    if (!station) return;
    station.classList.add("desk-now");
    station.setAttribute("aria-current", "step");
    station.scrollIntoView({ block: "center" });
    ends = Date.now() + 1000 * Number(station.dataset.seconds);
    ticking = setInterval(tick, 250);
    tick();
  }
  byId("film-start").addEventListener("click", () => goTo(0));
  byId("film-next").addEventListener("click", () => goTo(at + 1));
})();
