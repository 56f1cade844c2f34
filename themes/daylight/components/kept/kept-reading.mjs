// Parses the address of a kept list, and loads the changes. Anyone can write an address: only stock numbers and versions
// are accepted, and nothing is ever parsed as markup.

export const MOST = 20;

const STOCK = /^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$/;
const LONGEST = 40;
const VERSION = /^[1-9]\d{0,5}\.[0-9a-f]{6}$/;
const UNKNOWN = "unknown";

/**
 * Return the vehicles that an address names, each once, how many it names beyond the most, and how much of it is no
 * vehicle: 'K102.3.1f2e9c,K104,?' is K102 in version 3.1f2e9c, K104 in none, and one that cannot be read. A version
 * that is none is `unknown`.
 * @param {string | null} text
 */
export function keptIn(text) {
  /** @type {Map<string, string | null>} */
  const named = new Map();
  let unread = 0;
  for (const item of (text ?? "").split(",").filter(Boolean)) {
    const [stock, ...rest] = item.split(".");
    if (!isStock(stock)) unread += 1;
    else if (!named.has(stock)) named.set(stock, rest.length === 0 ? null : versionIn(rest.join(".")));
  }
  const all = [...named].map(([stock, version]) => ({ stock, version }));
  return { vehicles: all.slice(0, MOST), beyond: Math.max(0, all.length - MOST), unread };
}

/**
 * Return vehicles as an address names them.
 * @param {Kept[]} vehicles
 */
export const keptAs = (vehicles) =>
  vehicles.map(({ stock, version }) => (version === null ? stock : `${stock}.${version}`)).join(",");

/**
 * Return the version that a text names, or `unknown`.
 * @param {string} text
 */
export const versionIn = (text) => (VERSION.test(text) ? text : UNKNOWN);

/**
 * Return whether a text is a stock number.
 * @param {string} text
 */
export const isStock = (text) => text.length <= LONGEST && STOCK.test(text);

/**
 * Load what changed of a vehicle; `addressOf` gives the address of its file. A former stock number leads on to that of
 * today. Return null where there is no such file.
 * @param {string} stock
 * @param {(stock: string) => any} addressOf
 * @returns {Promise<Changes | null>}
 */
export async function changesOf(stock, addressOf) {
  const found = await loaded(stock, addressOf);
  const moved = found?.moved;
  if (moved === undefined) return found && { stock, ...found };
  return isStock(moved) && moved !== stock ? { stock: moved, ...(await loaded(moved, addressOf)) } : null;
}

// A script and not a fetch, which fails in a page opened from a folder.
/** @param {string} stock @param {(stock: string) => any} addressOf @returns {Promise<any>} */
function loaded(stock, addressOf) {
  const known = () =>
    Object.hasOwn(globalThis.sitegenChanges ?? {}, stock) ? globalThis.sitegenChanges[stock] : null;
  if (known()) return known();
  const script = document.createElement("script");
  return new Promise((resolve) => {
    script.src = addressOf(stock);
    script.onload = () => resolve(known());
    script.onerror = () => resolve(null);
    document.head.append(script);
  }).finally(() => script.remove());
}

/**
 * Return the sentence about a version and the lines that follow, or null for an unknown version.
 * @param {Changes} changes
 * @param {string} version
 */
export function saidOf(changes, version) {
  if (!Object.hasOwn(changes.versions, version)) return null;
  const [words, numbers] = changes.versions[version];
  return { words, lines: numbers.map((number) => changes.lines[number]) };
}

/**
 * Return a sentence as nodes. Parts in another language than the page's have a `lang` attribute.
 * @param {Told} told
 */
export function nodesOf(told) {
  const pieces = typeof told === "string" ? [told] : told;
  return pieces.map((piece) => (typeof piece === "string" ? piece : make("span", { lang: piece[1] }, piece[0])));
}

/**
 * Return an element with a text, which is never read as markup.
 * @param {string} name
 * @param {Record<string, unknown>} [properties]
 * @param {string} [words]
 */
export function make(name, properties = {}, words = "") {
  const element = Object.assign(document.createElement(name), properties);
  element.append(words);
  return element;
}
