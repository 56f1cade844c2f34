// Shows the vehicles in the page's address and the changes of each since. Changed vehicles come first.

import { MOST as MOST_COMPARED } from "../comparison/comparison-rows.mjs";
import { MOST, changesOf, keptAs, keptIn, make, nodesOf, saidOf } from "./kept-reading.mjs";

const VEHICLES = "vehicles";

/**
 * Read the address, load the changes of each vehicle, and show them. Nothing is stored except in the address.
 * @param {Part} section
 */
export async function enhance(section) {
  /** @param {string} name */
  const find = (name) => section.querySelector(`.kept-${name}`);
  const words = JSON.parse(find("carried").textContent);
  find("no-script").hidden = true;
  const { vehicles: named, beyond, unread } = keptIn(new URLSearchParams(location.search).get(VEHICLES));
  const found = await Promise.all(
    named.map((vehicle) => vehicleOf(vehicle, /** @type {string} */ (section.dataset.changes))),
  );
  // A vehicle with a new stock number may be in the list under both.
  const vehicles = [...new Map(found.map((vehicle) => [vehicle.stock, vehicle])).values()];
  if (vehicles.length > 0) history.replaceState(null, "", addressWith(vehicles));

  const notes = [unread > 0 && words.list_unread, beyond > 0 && words.list_beyond.replace("{most}", MOST)].filter(
    Boolean,
  );
  find("notes").append(...notes.map((note) => make("p", {}, note)));
  find("empty").hidden = vehicles.length > 0;
  const groups = [
    { heading: words.list_changed, members: vehicles.filter(hasChanged) },
    { heading: words.list_as_kept, members: vehicles.filter(isAsKept) },
    { heading: words.list_not_here, members: vehicles.filter(isGone) },
  ].filter(({ members }) => members.length > 0);
  for (const { heading, members } of groups) {
    find("place").append(make("h2", {}, heading));
    for (const vehicle of members)
      find("place").append(cardOf(vehicle, without(vehicle, vehicles), section.dataset, words));
  }
  offerWays(find, vehicles);
  find("address").textContent = location.href;
  takeMore(find("add"), vehicles);
  // Set after the element is in the page, so that screen readers announce it.
  find("told").textContent = groups
    .map(({ heading, members }) => `${heading}: ${members.map(nameOf).join(", ")}`)
    .join("; ");
}

/**
 * @typedef {object} KeptVehicle
 * @property {string} stock
 * @property {string | null} version
 * @property {any} [changes] what `changes.js` of the vehicle holds; absent if the site does not have the vehicle
 * @property {string} [was] the stock number in the address
 * @property {any} [said] the sentences about the kept version; null if that version is not known
 * @property {string | null} [gone]
 */

/**
 * Return a vehicle of the address with its changes. Without a version it is kept as it is now.
 *
 * @returns {Promise<KeptVehicle>}
 * @param {Kept} kept
 * @param {string} changesFile
 */
async function vehicleOf({ stock, version }, changesFile) {
  const changes = await changesOf(stock, (name) => new URL(changesFile.replace("*", name), location.href));
  if (!changes?.versions) return { stock, version, gone: changes?.gone ?? null };
  const kept = version ?? changes.now;
  return { stock: changes.stock, was: stock, version: kept, changes, said: saidOf(changes, kept) };
}

/** @param {KeptVehicle} vehicle */
const hasChanged = ({ changes, said, stock, was }) =>
  Boolean(changes) && (!said || said.lines.length > 0 || stock !== was);
/** @param {KeptVehicle} vehicle */
const isAsKept = (vehicle) => Boolean(vehicle.changes) && !hasChanged(vehicle);
/** @param {KeptVehicle} vehicle */
const isGone = ({ changes }) => !changes;
/** @param {KeptVehicle} vehicle */
const nameOf = ({ changes, stock }) => changes?.name ?? stock;
/** @param {KeptVehicle} vehicle @param {KeptVehicle[]} vehicles */
const without = (vehicle, vehicles) => vehicles.filter((other) => other !== vehicle);

/** @param {Kept[]} vehicles */
function addressWith(vehicles) {
  const address = new URL(location.href);
  // Commas stay as they are, so that the address can be read.
  address.search = vehicles.length > 0 ? `?${VEHICLES}=${keptAs(vehicles)}` : "";
  return address.href;
}

/** @param {KeptVehicle} vehicle @param {KeptVehicle[]} others @param {DOMStringMap} places @param {Texts} words */
function cardOf(vehicle, others, places, words) {
  const card = make("article", { className: "kept-vehicle keep" });
  const head = make("div", { className: "kept-vehicle-head" });
  const standing = make("div", {});
  const title = make("h3", {});
  standing.append(title);
  head.append(standing);
  card.append(head);
  if (vehicle.changes) tellOf(vehicle, head, card, places, words);
  else {
    title.append(words.named_as.replace("{stock}", vehicle.stock));
    card.append(make("p", {}, vehicle.gone ?? words.list_not_known));
  }
  const takeOut = make("a", { className: "small no-print", href: addressWith(others) }, words.take_out);
  takeOut.append(make("span", { className: "only-heard" }, ` ${nameOf(vehicle)}`));
  card.append(makeAround("p", takeOut));
  return card;
}

/**
 * @param {KeptVehicle} vehicle @param {HTMLElement} head @param {HTMLElement} card
 * @param {any} places the addresses that the section carries @param {Texts} words
 */
function tellOf({ stock, was, version, changes, said }, head, card, places, words) {
  const title = head.querySelector("h3");
  if (changes.picture) head.prepend(pictureOf(changes.picture, places.pictures));
  title.append(make("a", { href: `${places.vehicle.replace("*", stock)}?since=${version}` }, changes.name));
  const named = words.named_as.replace("{stock}", stock);
  title.after(make("p", { className: "soft small" }, named), make("p", {}, changes.offer));
  if (stock !== was)
    card.append(make("p", {}, words.stock.replace("{now}", stock).replace("{was}", /** @type {string} */ (was))));
  card.append(make("p", {}, version === changes.now ? changes.newest : (said?.words ?? words.unknown)));
  if (!said || said.lines.length === 0) return;
  const list = make("ul", { className: "plain-list" });
  for (const [told] of said.lines) {
    const line = make("li", {});
    line.append(...nodesOf(told));
    list.append(line);
  }
  card.append(list);
}

/** @param {KeptPicture} picture @param {string} folder */
function pictureOf({ sources, plain, shows, width, height }, folder) {
  const picture = make("picture", { className: "kept-vehicle-photo" });
  for (const [type, sizes] of Object.entries(sources)) {
    const srcset = sizes.map(([name, wide]) => `${folder}${name} ${wide}w`).join(", ");
    picture.append(make("source", { type, srcset, sizes: "10rem" }));
  }
  const image = make("img", { loading: "lazy", decoding: "async", width, height });
  /** @type {any[]} */
  const said = nodesOf(shows);
  image.alt = said.map((node) => node.textContent ?? node).join("");
  if (said.length === 1 && said[0].lang) image.lang = said[0].lang;
  image.src = `${folder}${plain}`;
  picture.append(image);
  return picture;
}

/** @param {(name: string) => any} find @param {KeptVehicle[]} vehicles */
function offerWays(find, vehicles) {
  const here = vehicles.filter(({ changes }) => changes);
  const isOld = here.some(({ version, changes }) => version !== changes.now);
  find("anew").hidden = !isOld;
  find("anew").href = addressWith(here.map((vehicle) => ({ ...vehicle, version: vehicle.changes.now })));
  const compare = find("compare");
  compare.hidden = here.length < 2;
  compare.href = `${compare.getAttribute("href")}?vehicles=${here
    .slice(0, MOST_COMPARED)
    .map(({ stock }) => stock)
    .join(",")}`;
  find("list-ways").hidden = find("anew").hidden && compare.hidden;
}

/** @param {Part} form @param {Kept[]} vehicles */
function takeMore(form, vehicles) {
  const field = form.querySelector("input");
  form.hidden = vehicles.length >= MOST;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    location.assign(addressWith([...vehicles, { stock: field.value, version: null }]));
  });
}

/** @param {string} name @param {Node} content */
function makeAround(name, content) {
  const around = make(name);
  around.append(content);
  return around;
}
