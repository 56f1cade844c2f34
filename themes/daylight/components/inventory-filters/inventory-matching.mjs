// Which vehicles a shopper's wishes leave, and in which order. Pure: rows and wishes in, rows out. A row is an object
// with the fields of sitegen/pages/inventory/rows.py; a figure that nobody measured or gave is null, and fits no wish.

/** @typedef {{ fits: (row: Row, wish: any) => boolean, isUnknown: (row: Row) => boolean }} Test what decides one wish */

/** @param {string} field @returns {Test} */
const same = (field) => ({ fits: (row, wish) => row[field] === wish, isUnknown: () => false });
/** @param {string} field @returns {Test} */
const atMost = (field) => ({
  fits: (row, wish) => row[field] !== null && row[field] <= wish,
  isUnknown: (row) => row[field] === null,
});
/** @param {string} field @returns {Test} */
const atLeast = (field) => ({
  fits: (row, wish) => row[field] !== null && row[field] >= wish,
  isUnknown: (row) => row[field] === null,
});
/** @param {Test["fits"]} fits @returns {Test} */
const when = (fits) => ({ fits, isUnknown: () => false });

/** @type {Record<string, Test>} */
const WISHES = {
  words: when((row, wish) => wish.every((/** @type {string} */ word) => row.text.includes(word))),
  body: same("body"),
  make: same("make"),
  drive: same("drive"),
  fuel: same("fuel"),
  location: same("location"),
  price: atMost("price"),
  miles: atMost("distance"),
  year: atLeast("year"),
  tread: atLeast("tread"),
  upkeep: atMost("upkeep"),
  sound: when((row) => row.function + row.safety === 0),
  checked: when((row) => row.unchecked === 0),
};
const NUMBERS = ["price", "miles", "year", "tread", "upkeep"];

// Each order is one number a row, the least first; what is not known comes last.
/** @param {string} field @returns {(row: Row) => number} */
const rising = (field) => (row) => row[field] ?? Infinity;
/** @param {string} field @returns {(row: Row) => number} */
const falling = (field) => (row) => (row[field] === null ? Infinity : -row[field]);
/** @type {Record<string, (row: Row) => number>} */
const ORDERS = {
  price: rising("price"),
  miles: rising("distance"),
  "a-year": rising("a_year"),
  year: falling("year"),
  tread: falling("tread"),
  lining: falling("lining"),
  defects: ({ safety, function: works, looks }) => (safety * 1e4 + works) * 1e4 + looks,
  upkeep: rising("upkeep"),
  "in-all": rising("in_all"),
};

/**
 * Return the rows of files, each `{fields, rows}`, as objects, with the text that is searched for words; the newest first.
 * @param {RowFile[]} files
 * @returns {Row[]}
 */
export function rowsOf(files) {
  const found = files.flatMap(({ fields, rows }) => {
    // Copies of one object share its shape: a field of ten thousand of them is found many times faster.
    const shape = JSON.parse(JSON.stringify(Object.fromEntries([...fields, "text"].map((field) => [field, null]))));
    return rows.map((values) => {
      const row = { ...shape };
      for (let place = 0; place < fields.length; place += 1) row[fields[place]] = values[place];
      row.text = plain(`${row.name} ${row.kind} ${row.more_words}`);
      return row;
    });
  });
  return found.sort((one, other) => other.listed - one.listed || (one.stock < other.stock ? -1 : 1));
}

/**
 * Return the wishes among the values of a form: `{price: 15000, drive: 'awd'}`. What is empty or no number is none.
 * @param {[string, string][]} entries
 */
export function wishesOf(entries) {
  /** @type {Record<string, Wish>} */
  const wishes = {};
  for (const [name, value] of entries) {
    if (!(name in WISHES) || value.trim() === "") continue;
    if (name === "words") wishes.words = plain(value).split(/\s+/).filter(Boolean);
    else if (!NUMBERS.includes(name)) wishes[name] = value;
    else if (Number.isFinite(Number(value))) wishes[name] = Number(value);
  }
  return wishes;
}

/**
 * Return the rows that fit every wish, and how many more might, if a figure that is not known were.
 * @param {Row[]} rows
 * @param {Record<string, Wish>} wishes
 */
export function matching(rows, wishes) {
  /** @type {[Test, Wish][]} */
  const tests = Object.entries(wishes).map(([name, wish]) => [WISHES[name], wish]);
  /** @type {Row[]} */
  const fitting = [];
  let unknown = 0;
  for (const row of rows) {
    let mayFit = true;
    let fits = true;
    for (let place = 0; place < tests.length; place += 1) {
      const [test, wish] = tests[place];
      if (test.fits(row, wish)) continue;
      fits = false;
      if (test.isUnknown(row)) continue;
      mayFit = false;
      break;
    }
    if (fits) fitting.push(row);
    else if (mayFit) unknown += 1;
  }
  return { fitting, unknown };
}

/**
 * Return the wishes of which one alone, left out, lets any row fit: `[{name, count}]`, the most helpful first.
 * @param {Row[]} rows
 * @param {Record<string, Wish>} wishes
 */
export function loosening(rows, wishes) {
  return Object.keys(wishes)
    .map((name) => {
      const { [name]: _, ...others } = wishes;
      return { name, count: matching(rows, others).fitting.length };
    })
    .filter(({ count }) => count > 0)
    .sort((one, other) => other.count - one.count);
}

/**
 * Return rows in an order; what is not known comes last. Of equals the one that was before stays before: the newest.
 * @param {Row[]} rows
 * @param {string} sort
 */
export function inOrder(rows, sort) {
  const keyOf = ORDERS[sort];
  if (!keyOf) return rows;
  const keys = Float64Array.from(rows, keyOf);
  const places = Uint32Array.from(keys, (_, place) => place);
  places.sort((one, other) => (keys[one] < keys[other] ? -1 : keys[one] > keys[other] ? 1 : one - other));
  return Array.from(places, (place) => rows[place]);
}

/** @param {string} text */
function plain(text) {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}
