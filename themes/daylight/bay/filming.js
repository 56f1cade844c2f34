// The step for the film: one short clip for each station and each defect, taken with the phone's camera.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.filming = (page) => {
  const { made, button } = bay.entries;
  const { filled } = bay.limits;
  const say = page.vocabulary.words;
  const addresses = new Map(); // of clips that are shown

  /** What can be filmed, in walking order: {key, words, of, in}, where `of[in]` is the clip's entry. */
  function things() {
    const { entries, vocabulary } = page;
    entries.film ??= {};
    entries.film.stations ??= {};
    entries.film.known ??= {};
    const ofStation = (key, words) => ({ key: `station ${key}`, words, of: entries.film.stations, in: key });
    const fresh = (entries.defects || []).map((defect, place) => ({
      key: `defect-${place + 1}`,
      words: `${filled(say.defect, { number: place + 1 })}: ${defect.part || ""}`.replace(/: $/, ""),
      at: defect.station,
      of: defect,
      in: "clip",
    }));
    const known = (page.known?.defects || []).map((defect) => ({
      key: `known ${defect.id}`,
      words: bay.limits.nameOf({ ...defect, known: defect.id }, entries, vocabulary),
      at: defect.station,
      of: entries.film.known,
      in: defect.id,
    }));
    const defects = [...known, ...fresh];
    const placed = vocabulary.stations.flatMap(({ key, words }) => [
      ofStation(key, words),
      ...defects.filter(({ at }) => at === key),
    ]);
    const rest = defects.filter((defect) => !placed.includes(defect));
    return [ofStation("cold start", say.cold_start), ...placed, ...rest];
  }

  async function keepClip(thing, file) {
    const told = document.getElementById("bay-kept");
    const ending = bay.film.endingOf(file);
    if (!ending) {
      told.textContent = filled(say.no_clip, { file: file.name });
      return;
    }
    const photo = crypto.randomUUID ? crypto.randomUUID() : `${Date.now()}-${Math.random()}`;
    try {
      await bay.storage.keepPhoto(photo, page.entries.id, file, file.type || `video/${ending}`);
    } catch {
      told.textContent = say.not_kept;
      return;
    }
    const before = thing.of[thing.in];
    thing.of[thing.in] = { photo, ending };
    addresses.set(photo, URL.createObjectURL(file));
    page.keep();
    if (before) page.forget(before.photo);
    page.show();
  }

  async function fetchClip(photo) {
    addresses.set(photo, "");
    const stored = await bay.storage.photo(photo);
    if (!stored) return;
    addresses.set(photo, URL.createObjectURL(new Blob([stored.bytes], { type: stored.type })));
    page.show();
  }

  function ways(thing, isThere) {
    const way = (name, shown, more) => {
      const input = made("input", {
        type: "file",
        id: `film-${thing.key.replaceAll(" ", "-")}-${name}`,
        accept: "video/*",
        "aria-label": `${thing.words}: ${shown}`,
        onchange: () => input.files[0] && keepClip(thing, input.files[0]),
        ...more,
      });
      return made("label", { class: "bay-button bay-file" }, input, made("span", {}, shown));
    };
    return made(
      "div",
      { class: "bay-row" },
      way("camera", isThere ? say.film_again : say.film_take, { capture: "environment" }),
      way("gallery", say.gallery, {}),
    );
  }

  function card(thing) {
    const clip = thing.of[thing.in];
    if (clip && !addresses.has(clip.photo)) fetchClip(clip.photo);
    const src = clip && addresses.get(clip.photo);
    const remove = () => {
      delete thing.of[thing.in];
      page.keep();
      page.forget(clip.photo);
      page.show();
    };
    const isDefect = !thing.key.startsWith("station ");
    return made(
      "section",
      { class: isDefect ? "bay-card bay-clip" : "bay-clip", "aria-label": thing.words },
      made("h3", {}, thing.words),
      src
        ? made("video", {
            class: "bay-film",
            src,
            controls: true,
            playsinline: true,
            preload: "metadata",
            "aria-label": thing.words,
          })
        : null,
      ways(thing, Boolean(clip)),
      clip ? button(say.remove, remove, "", { "aria-label": `${say.remove}: ${thing.words}` }) : null,
    );
  }

  function film() {
    const all = things();
    const missing = all.filter((thing) => !thing.key.startsWith("station ") && !thing.of[thing.in]);
    const words = missing.map((thing) => thing.words).join("; ");
    return [
      made("p", { class: "bay-note" }, say.film_why),
      missing.length ? made("p", { class: "bay-note" }, filled(say.film_missing, { what: words })) : null,
      ...all.map(card),
    ];
  }

  return { film };
};

/** The film in the record. Pure. */
bay.film = (() => {
  const BY_TYPE = {
    "video/quicktime": "mov",
    "video/mp4": "mp4",
    "video/x-m4v": "m4v",
    "video/3gpp": "3gp",
    "video/webm": "webm",
    "video/x-matroska": "mkv",
  };

  /** Return the ending of a film's file name, as the store takes it in, or undefined. */
  function endingOf({ name, type }) {
    const ending = /\.(mov|mp4|m4v|3gp|webm|mkv)$/i.exec(name)?.[1].toLowerCase();
    return ending || BY_TYPE[type.split(";")[0]];
  }

  /**
   * Return the film's entry in the record, or undefined without a new clip; and list its files. `ids` are those of the new
   * defects in their order. `before` are the clips that the store has; those that were not filmed again stay.
   */
  function filmOf(entries, ids, files, before = []) {
    const clips = [];
    const add = (entry, key, value) => {
      if (!entry) return;
      const file = `${value.replace(/[^A-Za-z0-9]+/g, "-")}-${entry.photo.slice(0, 6)}.${entry.ending}`;
      files.push({ name: file, photo: entry.photo, folder: "film" });
      clips.push({ file, [key]: value });
    };
    for (const [station, entry] of Object.entries(entries.film?.stations || {})) add(entry, "station", station);
    for (const [place, { clip }] of (entries.defects || []).entries()) add(clip, "defect", ids[place]);
    for (const [id, entry] of Object.entries(entries.film?.known || {})) add(entry, "defect", id);
    if (!clips.length) return undefined;
    const isNew = (old) => clips.some((clip) => clip.station === old.station && clip.defect === old.defect);
    return { clips: [...before.filter((old) => !isNew(old)), ...clips] };
  }

  return { endingOf, filmOf };
})();
