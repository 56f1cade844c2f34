// The film page: opens one long film, marks what it shows where, types what is spoken, and saves a visit. What was marked
// and typed stays on this device until it is saved.
"use strict";

(() => {
  const { words, stock, languages, things } = JSON.parse(document.getElementById("film-words").textContent);
  const { clock, secondsOf, chaptersOf, clipsOf, phrasesOf } = globalThis.filmParts;
  const { momentOf, nameOf } = globalThis.moments;
  const ENDINGS = /\.(mov|mp4|m4v|3gp|webm|mkv)$/i;
  const LONGEST_SOUND = 500_000_000; // bytes of a film whose sound is searched for pauses
  const KEPT = `film of ${stock}`;
  const byId = (id) => document.getElementById(id);
  const filled = (form, figures) => form.replace(/\{(\w+)\}/g, (_, name) => figures[name]);
  const player = byId("film-player");
  const named = new Map(things.map((thing) => [thing.key, thing.words]));

  let film = null; // the file
  let started = 0; // when the camera started, by this device's clock
  let made = { marks: [], phrases: [], isMute: false, shift: 0 };
  try {
    made = { ...made, ...JSON.parse(localStorage.getItem(KEPT) || "{}") };
  } catch {
    // A browser that keeps nothing for pages in folders: the page works until it is closed.
  }

  function keep() {
    try {
      localStorage.setItem(KEPT, JSON.stringify(made));
    } catch {
      // as above
    }
    show();
  }

  const language = () => byId("film-language").value;
  const captions = player.addTextTrack("captions", "", languages[0]);
  captions.mode = "showing";

  /** The time of a tap: of the film, or since the camera started. */
  const now = () => (film ? player.currentTime : started ? (Date.now() - started) / 1000 - made.shift : null);

  function element(name, attributes, ...inside) {
    const one = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) {
      if (key.startsWith("on")) one.addEventListener(key.slice(2), value);
      else one.setAttribute(key, value);
    }
    one.append(...inside);
    return one;
  }
  const button = (shown, heard, act) =>
    element("button", { type: "button", class: "desk-button", "aria-label": heard, onclick: act }, shown);

  // Playing

  let until = null;
  function play(from, to = null) {
    if (!film) return;
    until = to;
    player.currentTime = from;
    player.play().catch(() => {});
  }
  player.addEventListener("timeupdate", () => {
    if (until !== null && player.currentTime >= until) {
      until = null;
      player.pause();
    }
  });
  player.addEventListener("error", () => {
    if (film) byId("film-told").textContent = words.cannot_play;
  });

  function openFilm(file) {
    if (!ENDINGS.test(file.name)) {
      byId("film-told").textContent = filled(words.no_film, { file: file.name });
      return;
    }
    if (film) URL.revokeObjectURL(player.src);
    film = file;
    stopClock();
    player.src = URL.createObjectURL(file);
    player.hidden = false;
    byId("film-told").textContent = filled(words.opened, { file: file.name });
  }

  // The camera's clock

  let ticking = null;
  function stopClock() {
    clearInterval(ticking);
    ticking = null;
  }
  function startClock() {
    started = Date.now();
    stopClock();
    ticking = setInterval(() => {
      byId("camera-clock").textContent = clock((Date.now() - started) / 1000).replace(/\..*/, "");
    }, 250);
  }

  // Marks

  function mark(key) {
    const at = now();
    if (at === null) {
      byId("film-missing").textContent = words.open_first;
      return;
    }
    made.marks = made.marks.filter((one) => one.key !== key || key === "out");
    made.marks.push({ key, at: Math.max(at, 0) });
    keep();
  }

  function timeField(heard, value, change) {
    const field = element("input", { class: "desk-text desk-time", inputmode: "decimal", "aria-label": heard });
    field.value = clock(value);
    field.addEventListener("change", () => {
      const typed = secondsOf(field.value);
      if (typed !== null) change(typed);
      keep();
    });
    return field;
  }

  function chapterRow(one) {
    const title = named.get(one.key);
    return element(
      "li",
      {},
      element("span", { class: "desk-row-words" }, title),
      timeField(`${words.time}: ${title}`, one.at, (at) => {
        one.at = at;
      }),
      button("▶", `${words.play}: ${title}`, () => play(one.at)),
      button("×", `${words.remove}: ${title}`, () => {
        made.marks = made.marks.filter((other) => other !== one);
        keep();
      }),
    );
  }

  // Phrases

  function phraseRow(phrase, place) {
    const heard = filled(words.phrase, { number: place + 1 });
    const text = element("input", { class: "desk-text", id: `phrase-${place + 1}`, "aria-label": heard });
    text.value = phrase.text[language()] || "";
    text.addEventListener("focus", () => play(phrase.start, phrase.end));
    text.addEventListener("input", () => {
      phrase.text[language()] = text.value;
    });
    text.addEventListener("change", keep);
    text.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      keep();
      byId(`phrase-${place + 2}`)?.focus();
    });
    return element(
      "li",
      {},
      timeField(`${heard}, ${words.starts}`, phrase.start, (at) => {
        phrase.start = at;
      }),
      timeField(`${heard}, ${words.ends}`, phrase.end, (at) => {
        phrase.end = at;
      }),
      button("▶", `${words.play}: ${heard}`, () => play(phrase.start, phrase.end)),
      button("×", `${words.remove}: ${heard}`, () => {
        made.phrases = made.phrases.filter((other) => other !== phrase);
        keep();
      }),
      text,
    );
  }

  function beginPhrase() {
    const at = now();
    if (at === null) {
      byId("speech-told").textContent = words.open_first;
      return;
    }
    const before = made.phrases.findLast(({ start }) => start < at);
    if (before && before.end > at) before.end = at;
    const phrase = { start: at, end: at + 3, text: {} };
    made.phrases.push(phrase);
    made.phrases.sort((one, other) => one.start - other.start);
    keep();
    player.pause();
    byId(`phrase-${made.phrases.indexOf(phrase) + 1}`).focus();
  }

  async function findPauses() {
    const told = byId("speech-told");
    if (!film) {
      told.textContent = words.open_first;
      return;
    }
    told.textContent = words.listening;
    let found = [];
    try {
      if (film.size > LONGEST_SOUND) throw new Error("too long");
      const sound = await new AudioContext().decodeAudioData(await film.arrayBuffer());
      found = phrasesOf(sound.getChannelData(0), sound.sampleRate);
    } catch {
      told.textContent = words.cannot_listen;
      return;
    }
    told.textContent = filled(found.length ? words.pauses_found : words.no_pauses, { count: found.length });
    const typed = made.phrases.filter(({ text }) => Object.values(text).some((one) => one.trim()));
    const isFree = ([start, end]) => !typed.some((one) => one.start < end && one.end > start);
    made.phrases = [...typed, ...found.filter(isFree).map(([start, end]) => ({ start, end, text: {} }))];
    made.phrases.sort((one, other) => one.start - other.start);
    keep();
  }

  /** Take the cues of a WebVTT file, as the browser itself reads them. */
  function openCaptions(file) {
    const track = element("track", { kind: "captions", src: URL.createObjectURL(file) });
    track.addEventListener("load", () => {
      made.phrases = [...track.track.cues].map((cue) => ({
        start: cue.startTime,
        end: cue.endTime,
        text: { [language()]: cue.getCueAsHTML().textContent },
      }));
      track.remove();
      keep();
    });
    track.addEventListener("error", () => {
      track.remove();
      byId("speech-told").textContent = filled(words.no_captions, { file: file.name });
    });
    player.append(track);
    track.track.mode = "hidden";
  }

  // Showing and saving

  function show() {
    const at = new Map(made.marks.map((one) => [one.key, one.at]));
    for (const one of document.querySelectorAll("#film-marks button")) {
      const { key } = one.dataset;
      one.querySelector(".desk-marked").textContent = key !== "out" && at.has(key) ? clock(at.get(key)) : "";
    }
    const missing = things.filter(({ key }) => key.startsWith("defect ") && !at.has(key));
    byId("film-missing").textContent = missing.length
      ? filled(words.missing, { defects: missing.map((thing) => thing.words).join("; ") })
      : words.none_missing;
    made.marks.sort((one, other) => one.at - other.at);
    byId("film-chapters").replaceChildren(...made.marks.map(chapterRow));
    byId("film-speech").hidden = made.isMute;
    byId("film-mute").checked = made.isMute;
    byId("film-phrases").replaceChildren(...made.phrases.map(phraseRow));
    for (const cue of [...captions.cues]) captions.removeCue(cue);
    for (const { start, end, text } of made.phrases) {
      const shown = (text[language()] || "").replace(/&/g, "&amp;").replace(/</g, "&lt;");
      if (shown && end > start) captions.addCue(new VTTCue(start, end, shown));
    }
  }

  async function save() {
    const told = byId("film-saved");
    if (!film || !chaptersOf(made.marks).length) {
      told.textContent = words.nothing_to_save;
      return;
    }
    const on = momentOf(new Date());
    const name = `walk-${nameOf(on)}`;
    const file = `${name}${ENDINGS.exec(film.name)[0].toLowerCase()}`;
    const { clips, captions: texts } = clipsOf({ ...made, name, file, languages });
    const folder = `vehicles/${stock}/`;
    const files = {
      [`${folder}visits/${nameOf(on)}.yaml`]: new Blob([`${JSON.stringify({ on, film: { clips } }, null, 2)}\n`]),
      [`${folder}film/${file}`]: film,
    };
    for (const [captionFile, text] of Object.entries(texts)) files[`${folder}film/${captionFile}`] = new Blob([text]);
    told.textContent = words.saving;
    try {
      const zip = await globalThis.zipped.zipOf(files);
      const link = element("a", { href: URL.createObjectURL(zip), download: `${stock}-film-${nameOf(on)}.zip` });
      document.body.append(link);
      link.click();
      link.remove();
      setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
      told.textContent = filled(words.saved, { file: link.download });
    } catch (fault) {
      told.textContent = filled(words.not_saved, { why: fault.message });
    }
  }

  const chosen = (id, act) =>
    byId(id).addEventListener("change", (event) => {
      if (event.target.files[0]) act(event.target.files[0]);
      event.target.value = "";
    });
  chosen("film-file", openFilm);
  chosen("captions-file", openCaptions);
  byId("camera-start").addEventListener("click", startClock);
  byId("film-shift").value = made.shift;
  byId("film-shift").addEventListener("change", () => {
    const typed = Number(byId("film-shift").value.replace(",", "."));
    if (Number.isFinite(typed)) {
      for (const one of made.marks) one.at = Math.max(one.at + made.shift - typed, 0);
      made.shift = typed;
    }
    keep();
  });
  byId("film-marks").addEventListener("click", (event) => {
    const pressed = event.target.closest("button");
    if (pressed) mark(pressed.dataset.key);
  });
  byId("film-mute").addEventListener("change", () => {
    made.isMute = byId("film-mute").checked;
    keep();
  });
  byId("film-language").addEventListener("change", show);
  byId("find-pauses").addEventListener("click", findPauses);
  byId("begin-phrase").addEventListener("click", beginPhrase);
  byId("film-save").addEventListener("click", save);
  show();
})();
