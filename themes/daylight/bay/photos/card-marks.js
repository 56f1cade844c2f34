// The four corners of a card and the two ends of what is measured, dragged on a photo; and the size that follows, in words.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.cardMarks = (() => {
  const { made } = bay.entries;
  const NAMES = ["1", "2", "3", "4", "A", "B"];
  const MILLIMETERS_PER_INCH = 25.4;
  const SVG = "http://www.w3.org/2000/svg";
  const ZOOM = 4;
  const SLOW = 2; // pixels from one event to the next: below, a point moves a third as far as the finger
  const within = (place) => Math.min(1, Math.max(0, place));
  const percent = (part) => `${part * 100}%`;

  /** The initial marks: a card in the lower middle, and a line above it. `ratio` is width over height. */
  function atFirst(ratio) {
    const [left, right, top] = [0.32, 0.68, 0.58];
    const bottom = Math.min(top + ((right - left) * ratio * 53.98) / 85.6, 0.96);
    return {
      card: [
        { x: left, y: top },
        { x: right, y: top },
        { x: right, y: bottom },
        { x: left, y: bottom },
      ],
      span: [
        { x: 0.3, y: 0.36 },
        { x: 0.7, y: 0.36 },
      ],
    };
  }

  /** Return the points that were not placed yet. */
  const unplaced = ({ placing }) => NAMES.filter((_, place) => !placing.moved[place]);

  /** Return the size in the words of the page, rounded as in card_sizes.py. */
  function told(entry, vocabulary) {
    if (entry.placing)
      return bay.limits.filled(vocabulary.words.card_unplaced, { names: unplaced(entry).join(", ") });
    const size = bay.limits.cardSize(entry, vocabulary);
    if (!size) return "";
    if (size.refused) return vocabulary.card_words[size.refused];
    const written = new Intl.NumberFormat(vocabulary.locale, { maximumFractionDigits: 1 });
    const number = (value) => written.format(value);
    const tenths = (millimeters, round) => number(round((millimeters / MILLIMETERS_PER_INCH) * 10) / 10);
    const halfUp = (value) => Math.floor(value + 0.5);
    return bay.limits.filled(vocabulary.card_words.size, {
      about: `${number(halfUp(size.about))}\u00a0mm`,
      low: number(Math.floor(size.low)),
      high: number(Math.ceil(size.high)),
      inches: `${tenths(size.about, halfUp)}\u00a0in`,
      inches_low: tenths(size.low, Math.floor),
      inches_high: tenths(size.high, Math.ceil),
    });
  }

  function shape(name, attributes) {
    const element = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    return element;
  }

  /** Lines round the card, its first long side heavier, and along what is measured; in a box of 100 by 100. */
  function lines({ card, span }) {
    const list = (places) => places.map(({ x, y }) => `${x * 100},${y * 100}`).join(" ");
    const drawing = shape("svg", {
      viewBox: "0 0 100 100",
      preserveAspectRatio: "none",
      class: "bay-lines",
      "aria-hidden": "true",
    });
    for (const look of ["bay-line-halo", "bay-line-ink"]) {
      drawing.append(
        shape("polygon", { points: list(card), class: look }),
        shape("polyline", { points: list(card.slice(0, 2)), class: `${look} bay-long-side` }),
        shape("polyline", { points: list(span), class: look }),
      );
    }
    return drawing;
  }

  /**
   * Handles on a photo. `surface` holds `image` and is where fingers move; `changed` is called after each move. Any drag moves
   * the point that was nearest to where it began, by as much as the finger moves, so that no finger hides it.
   */
  function handles(surface, image, address, entry, vocabulary, changed) {
    const say = vocabulary.words;
    const points = () => [...(entry.placing || entry).card, ...(entry.placing || entry).span];
    const loupe = made("div", { class: "bay-loupe", hidden: true }, made("div", { class: "bay-loupe-cross" }));
    loupe.style.backgroundImage = `url("${address}")`;
    const buttons = NAMES.map((name, place) =>
      made(
        "button",
        {
          type: "button",
          class: "bay-handle",
          "aria-label": bay.limits.filled(place < 4 ? say.card_corner : say.card_end, { name }),
          onkeydown: (event) => nudged(event, place),
          onfocus: () => magnify(place),
          onblur: () => (loupe.hidden = true),
        },
        made("span", {}, name),
      ),
    );

    function draw() {
      for (const [place, { x, y }] of points().entries())
        Object.assign(buttons[place].style, { left: percent(x), top: percent(y) });
    }

    /** Show the surroundings of a point, magnified four times, in the corner that is farther from it. */
    function magnify(place) {
      const { x, y } = points()[place];
      const [width, height] = [image.clientWidth, image.clientHeight];
      loupe.hidden = false;
      const half = loupe.clientWidth / 2;
      loupe.style.backgroundSize = `${width * ZOOM}px ${height * ZOOM}px`;
      loupe.style.backgroundPosition = `${half - x * width * ZOOM}px ${half - y * height * ZOOM}px`;
      Object.assign(loupe.style, x < 0.5 ? { left: "auto", right: "4px" } : { left: "4px", right: "auto" });
    }

    function moved(place, x, y) {
      const point = points()[place];
      Object.assign(point, { x: within(point.x + x), y: within(point.y + y) });
      if (entry.placing) {
        entry.placing.moved[place] = true;
        // Show a size only after all points were placed, never from their initial positions.
        if (!unplaced(entry).length) {
          const { moved: _, ...placed } = entry.placing;
          Object.assign(entry, placed);
          delete entry.placing;
        }
      }
      draw();
      magnify(place);
      changed();
    }

    /** Arrow keys move by a pixel of 1,600; with Shift by twenty. */
    function nudged(event, place) {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way) return;
      event.preventDefault();
      event.stopPropagation();
      const longer = Math.max(image.clientWidth, image.clientHeight);
      const step = (longer / 1600) * (event.shiftKey ? 20 : 1);
      moved(place, (way[0] * step) / image.clientWidth, (way[1] * step) / image.clientHeight);
    }

    let drag = null;
    const nearest = (event) => {
      const bounds = image.getBoundingClientRect();
      const far = ({ x, y }) =>
        Math.hypot(bounds.left + x * bounds.width - event.clientX, bounds.top + y * bounds.height - event.clientY);
      const all = points();
      return all.reduce((best, point, place) => (far(point) < far(all[best]) ? place : best), 0);
    };
    const released = () => {
      drag = null;
      loupe.hidden = true;
    };
    const listeners = {
      pointerdown: (event) => {
        drag = { place: nearest(event), x: event.clientX, y: event.clientY };
        surface.setPointerCapture(event.pointerId);
        buttons[drag.place].focus({ preventScroll: true });
        event.preventDefault();
      },
      pointermove: (event) => {
        if (!drag) return;
        const [x, y] = [event.clientX - drag.x, event.clientY - drag.y];
        const gain = event.pointerType !== "mouse" && Math.hypot(x, y) < SLOW ? 1 / 3 : 1;
        Object.assign(drag, { x: event.clientX, y: event.clientY });
        moved(drag.place, (x * gain) / image.clientWidth, (y * gain) / image.clientHeight);
      },
      pointerup: released,
      pointercancel: released,
    };
    draw();
    return { parts: [...buttons, loupe], listeners };
  }

  return { atFirst, told, lines, handles };
})();
