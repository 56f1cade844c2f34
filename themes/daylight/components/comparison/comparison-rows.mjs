// Computes the order and grouping of a comparison's rows. Pure: texts in, texts out.

export const MOST = 4;

/**
 * Return the distinct stock numbers in an address, at most as many as can be compared: 'K1,K2,K1' is K1, K2.
 * @param {string | null} text
 */
export function chosenIn(text) {
  const stocks = (text ?? "").split(",").filter((stock) => /^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$/.test(stock));
  return [...new Set(stocks)].slice(0, MOST);
}

/**
 * Return the chosen stock numbers after one was ticked or unticked. A fifth is ignored.
 * @param {string[]} chosen
 * @param {string} stock
 * @param {boolean} isTicked
 */
export function choose(chosen, stock, isTicked) {
  const others = chosen.filter((one) => one !== stock);
  return isTicked ? [...others, stock].slice(0, MOST) : others;
}

/**
 * Return every label of several lists once, each list's own order kept as far as they agree.
 * @param {string[][]} lists
 * @returns {string[]}
 */
export function allLabels(lists) {
  /** @type {string[]} */
  const merged = [];
  for (const list of lists) {
    let place = 0;
    for (const label of list) {
      const found = merged.indexOf(label);
      if (found >= 0) place = found + 1;
      else {
        merged.splice(place, 0, label);
        place += 1;
      }
    }
  }
  return merged;
}

/**
 * Return whether texts are equal when spaces are ignored.
 * @param {(string | null)[]} texts
 */
export function areAlike(texts) {
  const plain = texts.map((text) => (text ?? "").replace(/\s+/g, " ").trim());
  return plain.every((text) => text === plain[0]);
}

/**
 * Return the items of all lists, and for each list the items that another lacks. Case is ignored.
 * @param {string[][]} lists
 */
export function differences(lists) {
  const plain = lists.map((list) => new Set(list.map((item) => item.toLowerCase())));
  /** @param {string} item */
  const isShared = (item) => plain.every((set) => set.has(item.toLowerCase()));
  return {
    shared: (lists[0] ?? []).filter(isShared),
    own: lists.map((list) => list.filter((item) => !isShared(item))),
  };
}
