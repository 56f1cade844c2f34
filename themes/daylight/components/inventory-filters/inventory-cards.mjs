// Makes cards from rows: copies of the card in the page's template, filled with the row's texts.

/**
 * Return a function that makes the card of a row. `carried` has the addresses of vehicles and pictures.
 * @param {HTMLTemplateElement} template
 * @param {CarriedInventory} carried
 * @returns {(row: Row) => Part}
 */
export function cardMaker(template, carried) {
  const example = /** @type {Part} */ (template.content.querySelector(".vehicle-card"));
  return (row) => {
    const card = /** @type {Part} */ (example.cloneNode(true));
    /** @param {string} name */
    const find = (name) => card.querySelector(`.vehicle-card-${name}`);
    card.dataset.stock = row.stock;
    find("link").href = carried.vehicle.replace("*", row.stock);
    find("link").textContent = row.name;
    find("kind").textContent = row.kind;
    find("amount").textContent = row.price_words;
    find("distance").textContent = row.distance_words;
    say(find("a-year"), row.a_year_words && `, ${row.a_year_words}`);
    say(card.querySelector(".status"), row.status);
    card.querySelectorAll(".key-figure").forEach((figure, place) => {
      const [value, note] = row.figures[place];
      figure.querySelector(".key-figure-value").textContent = value;
      say(figure.querySelector(".key-figure-note"), note);
    });
    find("defects").textContent = row.defects;
    find("papers").textContent = row.papers;
    say(find("location"), row.location_words);
    say(find("unchecked"), row.unchecked_words);
    card.querySelector(".compare-box").value = row.stock;
    card.querySelector(".compare-name").textContent = row.name;
    show(find("photo"), row.picture, carried.pictures);
    return card;
  };
}

/** @param {Part} element @param {string | null} words */
function say(element, words) {
  if (words === null) element.remove();
  else element.textContent = words;
}

/** @param {Part} frame @param {RowPicture | null} picture @param {string} folder */
function show(frame, picture, folder) {
  if (picture === null) {
    frame?.remove();
    return;
  }
  const [words, language, stem, widths, plainWidth, width, height] = picture;
  const image = frame.querySelector("img");
  frame.querySelector(".picture-color").remove();
  for (const source of frame.querySelectorAll("source")) {
    const format = source.type.replace("image/", "");
    source.srcset = widths.map((candidate) => `${folder}${stem}-${candidate}.${format} ${candidate}w`).join(", ");
  }
  image.alt = words;
  image.lang = language ?? "";
  if (language === null) image.removeAttribute("lang");
  image.width = width;
  image.height = height;
  image.src = `${folder}${stem}-${plainWidth}.jpg`;
}
