// What the store knows of a vehicle: loaded from a script of its own, shown in gray, and never written as an entry.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.known = (() => {
  const arrived = new Map();
  const isText = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

  /** Called by the script of each vehicle, `known-K102.js`. */
  const take = (stock, known) => arrived.set(stock, known);

  /** Load what the store knows of a vehicle: null if this page has nothing about it. A page on a disk can load scripts. */
  function load(stock) {
    if (arrived.has(stock)) return Promise.resolve(arrived.get(stock));
    return new Promise((resolve) => {
      const script = document.createElement("script");
      script.src = `known-${stock}.js`;
      script.onload = () => resolve(arrived.get(stock) || null);
      script.onerror = () => resolve(null);
      document.head.append(script);
    });
  }

  /** A text in the page's language, or in the first that it has. */
  const spoken = (value, language) => (isText(value) ? (value[language] ?? Object.values(value)[0]) : value);

  /** The same with every text in one language; `raw` keeps the others. */
  function inLanguage(known, language) {
    const texts = (object) =>
      Object.fromEntries(Object.entries(object).map(([key, value]) => [key, spoken(value, language)]));
    return {
      ...known,
      raw: known,
      values: Object.fromEntries(
        Object.entries(known.values).map(([path, [value, day]]) => [path, [spoken(value, language), day]]),
      ),
      defects: known.defects.map(texts),
      promises: known.promises.map((promise) => ({ ...texts(promise), raw_what: promise.what })),
    };
  }

  function at(object, path) {
    return path.split(".").reduce((part, key) => part?.[key], object);
  }

  function put(object, path, value) {
    const keys = path.split(".");
    const last = keys.pop();
    let part = object;
    for (const key of keys) part = part[key] ??= {};
    part[last] = value;
  }

  /** Whether a known value still goes with what was entered: a check's note goes with its finding. */
  function goesWith(entries, known, path) {
    const [group, point, key] = path.split(".");
    if (group !== "checks" || key === "finding") return true;
    const finding = entries.checks?.[point]?.finding;
    return !finding || finding === known.values[`checks.${point}.finding`]?.[0];
  }

  /** Entries with the known values where nothing was entered. Known defects come first, without those that are gone. */
  function merged(entries, known) {
    if (!known) return entries;
    const whole = structuredClone(entries);
    for (const [path, [value]] of Object.entries(known.values)) {
      const entered = at(entries, path);
      if ((entered === undefined || entered === "") && goesWith(entries, known, path)) put(whole, path, value);
    }
    const still = known.defects.filter(({ id }) => !isGone(entries.looked?.[id]));
    whole.defects = [
      ...still.map((defect) => ({ ...defect, ...entered(entries.looked?.[defect.id]), known: defect.id })),
      ...(entries.defects || []),
    ];
    Object.assign(whole, {
      known_promises: known.promises,
      known_services: known.services,
      known_photos: known.photos,
      known_film: known.film,
      noted: known.noted,
    });
    if (known.noted.includes("defects") && !whole.defects.length) whole.no_defects = true;
    return whole;
  }

  const isGone = (looked) => ["put right", "not found"].includes(looked?.now);

  function entered(looked = {}) {
    return Object.fromEntries(Object.entries(looked).filter(([key, value]) => key !== "photos" && value));
  }

  /** Whether anything was entered: a text, a choice, a photo. */
  function isTouched(value) {
    if (Array.isArray(value)) return value.some(isTouched);
    if (isText(value)) return Object.values(value).some(isTouched);
    return value !== undefined && value !== null && value !== "" && value !== false;
  }

  return { take, load, inLanguage, merged, isTouched, isGone, at };
})();
