// Shows the changes since a kept link's version, and marks each changed place on the page.

import { changesOf, make, nodesOf, saidOf, versionIn } from "./kept-reading.mjs";

/**
 * Replace the sentence for readers without scripts by the notice. If the changes cannot be loaded, keep the sentence.
 * @param {Part} otherwise
 * @param {string} since
 */
export async function enhance(otherwise, since) {
  const { stock } = otherwise.dataset;
  const changes = await changesOf(/** @type {string} */ (stock), () => new URL("changes.js", location.href));
  if (!changes?.versions) {
    otherwise.classList.add("is-shown");
    return;
  }
  const said = saidOf(changes, versionIn(since));
  const notice = make("section", { className: "kept-notice", id: "kept" });
  notice.setAttribute("aria-labelledby", "kept-title");
  const words = make("p", {});
  words.setAttribute("role", "status");
  notice.append(make("h2", { id: "kept-title" }, changes.words.heading), words);
  const lines = said?.lines ?? [];
  if (lines.length > 0) notice.append(listOf(lines));
  notice.append(waysOf(changes, since, otherwise.dataset.several));
  otherwise.replaceWith(notice);
  // Set after the element is in the page, so that screen readers announce it.
  words.textContent = said ? said.words : changes.words.unknown;
  markPlaces(lines, changes.words);
}

/** @param {ChangeLine[]} lines */
function listOf(lines) {
  const list = make("ul", { className: "plain-list" });
  for (const [told, places] of lines) {
    const line = make("li", {});
    const place = nearest(places);
    const holder = place ? make("a", { href: `#${place.id}` }) : line;
    holder.append(...nodesOf(told));
    if (place) line.append(holder);
    list.append(line);
  }
  return list;
}

/** @param {Changes} changes @param {string} since @param {string | undefined} several */
function waysOf(changes, since, several) {
  const ways = make("p", { className: "kept-ways small no-print" });
  if (since !== changes.now) ways.append(make("a", { href: `?since=${changes.now}` }, changes.words.anew));
  ways.append(make("a", { href: "#page-history" }, changes.words.history));
  ways.append(make("a", { href: several }, changes.words.several));
  return ways;
}

/** @param {string[]} places */
const nearest = (places) => places.map((place) => document.getElementById(place)).find(Boolean);

// One word at each changed place, which is also heard and printed, and needs no color.
/** @param {ChangeLine[]} lines @param {Texts} words */
function markPlaces(lines, words) {
  const marked = new Map();
  for (const [, places, isNew] of lines) {
    const place = nearest(places);
    if (place) marked.set(place, Boolean(isNew) && (marked.get(place) ?? true));
  }
  for (const [place, isNew] of marked)
    put(place, make("span", { className: "kept-mark" }, isNew ? words.mark_new : words.mark));
}

/** @param {Element} place @param {Element} mark */
function put(place, mark) {
  const title = place.matches(".vehicle-offer") ? place.firstElementChild : place.querySelector("h2, h4");
  const cell = place.querySelector("dd, th") ?? place;
  if (title) title.after(mark);
  else cell.append(" ", mark);
}
