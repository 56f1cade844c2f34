// The types that several scripts share, above all the data that pages carry for them. They are global, for the type
// checker only; nothing here is published.

/** An element of a page of this theme. */
type Part = HTMLElement;

// The theme's templates have everything that its scripts ask for by class, so what is found there is not doubted.
interface ParentNode {
  querySelector<Tag extends keyof HTMLElementTagNameMap>(selectors: Tag): HTMLElementTagNameMap[Tag];
  querySelector(selectors: string): any;
  querySelectorAll<Tag extends keyof HTMLElementTagNameMap>(selectors: Tag): NodeListOf<HTMLElementTagNameMap[Tag]>;
  querySelectorAll(selectors: string): NodeListOf<any>;
}
interface Element {
  closest(selectors: string): any;
  cloneNode(deep?: boolean): this;
}
interface DocumentFragment {
  readonly firstElementChild: any;
  cloneNode(deep?: boolean): this;
}
/** The rows, changes and exports that scripts loaded later give to those that load them, by name. */
declare var sitegenRows: Record<string, RowFile> | undefined;
declare var sitegenChanges: Record<string, any>;
declare var sitegenOffered: Record<string, any>;

/** A low and a high end; an open end is null. */
type Span = [number, number | null];
/** The least and the most that work costs, in hundredths of the currency. */
type Cents = [number, number];

/** When an item needs doing: see needs.py of sitegen/condition/outlook. */
interface Need {
  distance: Span | null;
  days: Span | null;
  own_wear: boolean;
  most_distance: Span | null;
}

/** One item of the facts that an outlook is worked out from. */
interface ItemFacts {
  key: string;
  need: Need;
  worst: Need | null;
  cents: Cents | null;
  worst_cents: Cents | null;
  again_distance: Span | null;
  again_months: Span | null;
  no_record: boolean;
  not_measured: boolean;
}
type PricedFacts = ItemFacts & { cents: Cents };
type Priced = { item: PricedFacts; budgetNow: boolean };

/** The equally likely levels, in percent, that an outlook spreads its figures over. */
interface Spreads {
  wear: number[];
  distance: number[];
  price: number[];
  driver: [number, number];
  may_be_due: number;
}
interface OutlookFacts {
  unit: string;
  items: ItemFacts[];
  spreads: Spreads;
}
type Rate = { wear: number; distance: number; size: number };
type Spending = { chances: number[]; cents: Cents };
type Shares = { whole: number; none: number; most: number; below: (cents: number) => number };
type Weights = ArrayLike<number>;

/** What is likely to be spent, in hundredths of the currency. */
type Figure = { about: number; low: number; high: number };
type OutlookItem = {
  key: string;
  bandFrom: string;
  bandTo: string;
  months: Span | null;
  budgetNow: boolean;
  byTime: boolean;
  notMeasured: boolean;
};
type OutlookLine = { item: OutlookItem; facts: ItemFacts; shown: Span | null };
type Named = { [kind in "notPriced" | "noBasis" | "notMeasured" | "atWorst" | "noRecord"]: string[] };
interface Outlook {
  items: OutlookItem[];
  firstYear: { due: Figure; total: Figure };
  whole: { due: Figure; total: Figure };
  noRecord: Figure;
  named: Named;
}
type Texts = Record<string, string>;

/** What a page carries for its outlook. */
interface CarriedOutlook {
  words: Texts;
  bands: Texts;
  items: Texts;
  costs: Texts;
  unmeasured: Texts;
  currency: string;
  locale: string;
  facts: OutlookFacts;
  counted_from: string;
  list: { comma: string; last: string };
}

/** What a page carries for the costs in all: amounts in hundredths of the currency. */
interface CarriedCosts {
  base: number;
  offers: Record<string, { cents: number; lines: string[]; words: string }>;
  delivery: Record<string, number>;
  upkeep: number[] | null;
  stock: string;
  locale: string;
  currency: string;
  about: string;
  words: Texts;
  list: { comma: string; last: string };
}
/** The keys of the work that is chosen, and the distance of delivery or "". */
type Chosen = { work: string[]; delivery: string };
type Choice = { aYear: number | null; fromToday: boolean };

/** A vehicle of a list: see rows.py of sitegen/pages/inventory. A figure that nobody measured or gave is null. */
interface Row {
  [field: string]: any;
  stock: string;
  name: string;
  kind: string;
  text: string;
  listed: number;
  figures: [string, string | null][];
  picture: RowPicture | null;
}
/** The words, their language if another, the name, the widths, the plain width, and the shape. */
type RowPicture = [string, string | null, string, number[], number, number, number];
type RowFile = { fields: string[]; rows: unknown[][] };
type Wish = string | number | string[];
interface CarriedInventory {
  rows: string[];
  vehicle: string;
  pictures: string;
  on_a_page: number;
  locale: string;
  words: Record<string, any>;
}

/** A sentence, or its pieces: text, or a text and its language. */
type Told = string | (string | [string, string])[];
/** A sentence, the ids of the places that changed, and whether they are new. */
type ChangeLine = [Told, string[], boolean?];
/** What the `changes.js` of a vehicle holds. */
interface Changes {
  [other: string]: any;
  stock: string;
  now: string;
  name: string;
  words: Texts;
  versions: Record<string, [string, number[]]>;
  lines: ChangeLine[];
}

/** A vehicle of a kept list; without a version it is kept as it is now. */
type Kept = { stock: string; version: string | null };
type KeptPicture = {
  sources: Record<string, [string, number][]>;
  plain: string;
  shows: Told;
  width: number;
  height: number;
};
/** What stands in a sentence's braces. */
type Filled = string | number;
/** What a line of the outlook says: when, the time, and whether it is done just before. */
type ToldItem = [string, string, boolean?];

/** What a cell of the comparison shows; null for what a vehicle does not list. */
type Content = string | Node | null;
/** A label, a cell for each vehicle, and whether the row may be folded away if all are equal. */
type ComparisonRow = [string, Content[], boolean?];
type ComparedChoice = { aYear: number; fromToday: boolean };
type ComparisonWords = { [key: string]: any; stations: string[]; sums: string[] };
