// Which entries belong to which step, and which photos to a vehicle. Pure.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.steps = (() => {
  const OF = {
    today: ["odometer"],
    vehicle: [
      "vin",
      "year",
      "make",
      "model",
      "trim",
      "body",
      "drive",
      "fuel",
      "terms",
      "warranty",
      "location",
      "engine",
    ],
    fluids: ["fluids", "paint"],
    wear: ["transmission", "timing"],
    defects: ["looked", "defects"],
    photos: ["views", "more"],
    film: ["film"],
    papers: ["statement", "brand", "recalls"],
    services: ["bills"],
    work: ["work", "promises", "kept_promises", "no_work", "no_promises", "harmless"],
    offer: ["price", "status", "equipment", "has_more", "lacks_more", "notes", "no_additions"],
  };

  /** Whether anything of a step was entered. */
  function isTouched(step, entries, vocabulary) {
    const [kind, ...rest] = step.split(" ");
    const which = rest.join(" ");
    const is = (value) => bay.known.isTouched(value);
    if (kind === "wheel") return ["tires", "brakes", "wheel_photos"].some((group) => is(entries[group]?.[which]));
    if (kind === "checks") {
      const points = vocabulary.points.filter(({ station }) => station === which);
      return points.some(({ key }) => is(entries.checks?.[key]));
    }
    return (OF[kind] || []).some((key) => is(entries[key]));
  }

  /** The names of all photos in the entries, wherever they stand. */
  function photosOf(part) {
    if (typeof part !== "object" || part === null) return [];
    if (typeof part.photo === "string") return [part.photo];
    return Object.values(part).flatMap(photosOf);
  }

  return { isTouched, photosOf };
})();
