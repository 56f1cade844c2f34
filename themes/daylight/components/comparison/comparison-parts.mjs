// Extracts the parts of a vehicle's page that a comparison places beside those of others.

/**
 * Return the parts of a parsed page, or null if it is not the page of a vehicle. `address` is the page's own.
 * @param {Document} page
 * @param {string} address
 */
export function partsOf(page, address) {
  if (!page.querySelector(".vehicle-head")) return null;
  /** @param {string} selector @returns {string | null} */
  const text = (selector) => page.querySelector(selector)?.textContent.trim() ?? null;
  /** @param {string} selector @returns {Part[]} */
  const all = (selector) => [...page.querySelectorAll(selector)];
  return {
    address,
    name: text("h1"),
    price: text(".vehicle-price-figure"),
    status: text(".vehicle-head .status"),
    photo: pictureOf(page.querySelector(".vehicle-hero picture"), address),
    firstWords: all(".first-words").map(copy),
    facts: factsOf(all("#papers .facts").at(-1)),
    kind: text(".vehicle-kind"),
    distance: copy(page.querySelector(".vehicle-distance")),
    wheels: { tires: wheelsOf(page, "tires"), brakes: wheelsOf(page, "brakes") },
    stations: new Map(
      all(".defect-station").map((station) => [
        station.querySelector(".station-heading").textContent,
        defectsOf(station, address),
      ]),
    ),
    standing: linksOf(all(".first-standing a"), address),
    unchecked: copy(page.querySelector(".first-unchecked a")),
    uncheckedAt: new Map(all(".station").flatMap((station) => notCheckedAt(station))),
    attention: listOf(all(".station-attention").map(withoutLinks)),
    promised: listOf(all(".promised > li").map(copy)) ?? text(".nothing-promised"),
    notLookedAt: copy(page.querySelector("#defects > p > strong")),
    outlook: JSON.parse(page.querySelector(".outlook-facts").textContent),
    costs: JSON.parse(page.querySelector(".costs-facts")?.textContent ?? "null"),
    papers: new Map(
      all("#papers .facts")
        .slice(0, -1)
        .flatMap((list) => [...factsOf(list)]),
    ),
    terms: text("#papers > h3"),
    has: itemsOf(page, 0),
    lacks: itemsOf(page, 1),
  };
}

/**
 * Return a copy of an element's content without parts that are useful on its own page only.
 * @param {Element | null} element
 * @returns {any} a DocumentFragment, or null without an element
 */
export function copy(element) {
  if (!element) return null;
  const whole = element.cloneNode(true);
  for (const part of whole.querySelectorAll("[id]")) part.removeAttribute("id");
  const inside = document.createDocumentFragment();
  inside.append(...whole.childNodes);
  return inside;
}

/** @param {Part | undefined} list */
function factsOf(list) {
  return new Map(
    [...(list?.children ?? [])].map((fact) => [fact.querySelector("dt").textContent, copy(fact.querySelector("dd"))]),
  );
}

/** @param {Document} page @param {string} name */
function wheelsOf(page, name) {
  const wheels = page.querySelectorAll(`#${name} ~ .wheel-plan`)[0]?.querySelectorAll(".wheel") ?? [];
  return new Map([...wheels].map((wheel) => [wheel.querySelector(".wheel-position").textContent, wheelOf(wheel)]));
}

/** @param {Part} wheel */
function wheelOf(wheel) {
  const cell = document.createDocumentFragment();
  const figure = document.createElement("p");
  figure.className = wheel.querySelector(".wheel-figure").className;
  figure.textContent = wheel.querySelector(".wheel-figure").textContent;
  cell.append(figure, document.importNode(wheel.querySelector(".ruler"), true));
  return cell;
}

// Each defect as a link to where its page shows it, what it affects, and whether it was put right.
/** @param {Part} station @param {string} address */
function defectsOf(station, address) {
  const list = document.createElement("ul");
  list.className = "comparison-list";
  for (const defect of station.querySelectorAll(".defect")) {
    const [line, link] = [document.createElement("li"), document.createElement("a")];
    link.href = `${address}#${defect.id}`;
    link.append(copy(defect.querySelector(".defect-title")) ?? "");
    for (const heard of link.querySelectorAll(".only-heard")) heard.remove();
    line.append(link, " ", document.importNode(defect.querySelector(".affects"), true));
    const putRight = defect.querySelector(":scope > p > strong");
    if (putRight) line.append(" ", document.importNode(putRight, true));
    list.append(line);
  }
  return list;
}

// What stands on a vehicle, each as a link to where its page shows it.
/** @param {Part[]} links @param {string} address */
function linksOf(links, address) {
  return listOf(
    links.map((link) => {
      const shown = document.createElement("a");
      shown.href = `${address}${link.getAttribute("href")}`;
      shown.append(copy(link));
      return shown;
    }),
  );
}

/** @param {(string | Node)[]} items */
function listOf(items) {
  if (items.length === 0) return null;
  const list = document.createElement("ul");
  list.className = "comparison-list";
  for (const item of items) {
    const line = document.createElement("li");
    line.append(item);
    list.append(line);
  }
  return list;
}

// A copy without links, which lead to places of its own page.
/** @param {Part} element */
function withoutLinks(element) {
  const shown = copy(element);
  for (const link of shown.querySelectorAll("a")) link.remove();
  return shown;
}

// A station of the walk and the points of it that nobody checked, if there are any.
/** @param {Part} station @returns {[string, Content][]} */
function notCheckedAt(station) {
  const points = station.querySelector(".station-unchecked");
  return points ? [[station.querySelector(".station-name").textContent, copy(points)]] : [];
}

/** @param {Document} page @param {number} place */
function itemsOf(page, place) {
  const list = page.querySelectorAll("#equipment .columns > div")[place];
  return [...(list?.querySelectorAll("li") ?? [])].map((item) => item.textContent.trim());
}

// The same candidates, seen from where the comparison is; they fill a small place.
/** @param {Part | null} picture @param {string} address */
function pictureOf(picture, address) {
  if (!picture) return null;
  const shown = document.importNode(picture, true);
  /** @param {string} link */
  const full = (link) => new URL(link, address).href;
  for (const source of shown.querySelectorAll("source")) {
    source.srcset = source.srcset
      .split(", ")
      .map((candidate) => candidate.replace(/^\S+/, full))
      .join(", ");
    source.sizes = "18rem";
  }
  const image = shown.querySelector("img");
  image.src = full(/** @type {string} */ (picture.querySelector("img").getAttribute("src")));
  image.loading = "lazy";
  return shown;
}
