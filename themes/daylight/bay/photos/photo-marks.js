// A photo on which a tap sets the mark. Covering a plate or a face is a mode of its own, so that a swipe over a photo
// scrolls the page. Places are fractions of the photo.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.photoMarks = (() => {
  const { made, button } = bay.entries;
  const RADIUS = 0.08;
  const within = (place) => Math.min(1, Math.max(0, place));
  const percent = (part) => `${part * 100}%`;

  /** The box between two places, as the record has it: left, top, width, height. */
  function boxOf(one, other) {
    const [x, y] = [Math.min(one.x, other.x), Math.min(one.y, other.y)];
    return { x, y, w: Math.abs(one.x - other.x), h: Math.abs(one.y - other.y) };
  }

  const isDrag = (box) => box.w > 0.02 || box.h > 0.02;

  const measuring = new WeakSet(); // photos whose card is being marked
  const covering = new WeakSet(); // photos that are being covered
  const LARGE = 0.4; // of the photo: such a cover may hide the flaw

  const isIn = (box, place) =>
    place.x >= box.x && place.x <= box.x + box.w && place.y >= box.y && place.y <= box.y + box.h;

  /** Whether a cover may hide the flaw: it lies over the mark, or over most of a photo without a mark. */
  const mayHide = (entry, box) => (entry.mark ? isIn(box, entry.mark) : box.w * box.h > LARGE);

  /**
   * Return the figure. `entry` is changed as it is marked, and `tell` is called after each change. `may` says whether a place
   * can be marked on it, and a size measured by a card; `may.isOnly` whether it is the only photo of a flaw.
   */
  function figure(address, entry, called, tell, vocabulary, may) {
    const say = vocabulary.words;
    const image = made("img", { src: address, alt: called, draggable: "false" });
    const over = made("div", { class: "bay-over" });
    const surface = made(
      "div",
      {
        class: "bay-surface",
        tabindex: "0",
        role: "group",
        "aria-label": bay.limits.filled(say.mark_of, { what: called }),
      },
      image,
      over,
    );
    const size = made("p", { class: "bay-told bay-size", role: "status" });
    const below = made("div", {});
    const asked = made("div", { role: "alert" });
    const isMeasuring = () => measuring.has(entry);
    const isCovering = () => covering.has(entry);
    let handles = null;

    function draw(pending) {
      const boxes = [...(entry.cover || []), ...(pending ? [pending] : [])];
      over.replaceChildren(
        ...boxes.map((box) => {
          const element = made("div", { class: "bay-cover" });
          Object.assign(element.style, {
            left: percent(box.x),
            top: percent(box.y),
            width: percent(box.w),
            height: percent(box.h),
          });
          return element;
        }),
      );
      if (entry.mark && !isMeasuring()) {
        const ring = made("div", { class: "bay-ring" });
        Object.assign(ring.style, {
          left: percent(entry.mark.x),
          top: percent(entry.mark.y),
          width: percent(entry.mark.r * 2),
        });
        over.append(ring);
      }
      if (entry.card || isMeasuring()) over.append(bay.cardMarks.lines(entry.placing || entry));
      size.textContent = entry.card || isMeasuring() ? bay.cardMarks.told(entry, vocabulary) : "";
    }

    function changed() {
      draw();
      tell();
    }

    // Marks and covers

    let start = null;
    const place = (event) => {
      const bounds = image.getBoundingClientRect();
      return {
        x: within((event.clientX - bounds.left) / bounds.width),
        y: within((event.clientY - bounds.top) / bounds.height),
      };
    };
    const marking = {
      pointerdown: (event) => {
        start = place(event);
        if (isCovering()) surface.setPointerCapture(event.pointerId);
      },
      pointermove: (event) => {
        if (start && isCovering() && isDrag(boxOf(start, place(event)))) draw(boxOf(start, place(event)));
      },
      pointercancel: () => {
        start = null;
        draw();
      },
      pointerup: (event) => {
        if (!start) return;
        const box = boxOf(start, place(event));
        if (isCovering()) {
          if (isDrag(box) && box.w > 0.005 && box.h > 0.005) cover(box);
        } else if (!isDrag(box) && may.canMark) entry.mark = { ...start, r: entry.mark?.r || RADIUS };
        start = null;
        changed();
      },
    };
    for (const kind of Object.keys(marking)) {
      surface.addEventListener(kind, (event) => (isMeasuring() ? handles.listeners : marking)[kind](event));
    }
    surface.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-0.02, 0], ArrowRight: [0.02, 0], ArrowUp: [0, -0.02], ArrowDown: [0, 0.02] }[
        event.key
      ];
      if (!step || !may.canMark || isMeasuring()) return;
      event.preventDefault();
      const from = entry.mark || { x: 0.5, y: 0.5, r: RADIUS };
      entry.mark = { ...from, x: within(from.x + step[0]), y: within(from.y + step[1]) };
      changed();
    });

    const resized = (by) => () => {
      if (!entry.mark) return;
      entry.mark.r = Math.min(0.5, Math.max(0.02, entry.mark.r * by));
      changed();
    };
    const uncovered = () => {
      entry.cover = (entry.cover || []).slice(0, -1);
      changed();
      arrange();
    };

    // Covers

    function cover(box) {
      entry.cover = [...(entry.cover || []), box];
      if (may.isOnly?.() && mayHide(entry, box)) {
        const undone = () => {
          uncovered();
          asked.replaceChildren();
        };
        const row = made(
          "div",
          { class: "bay-row" },
          button(say.cover_undo, undone),
          button(say.cover_right, () => asked.replaceChildren()),
        );
        asked.replaceChildren(made("p", { class: "bay-told" }, say.cover_hides), row);
      }
      changed();
      arrange();
    }

    const turn = () => {
      if (isCovering()) covering.delete(entry);
      else covering.add(entry);
      arrange();
    };

    // The card

    function measure() {
      const [width, height] = [image.naturalWidth, image.naturalHeight];
      if (!width) return; // it is not there yet
      if (!entry.card && !entry.placing)
        entry.placing = { ...bay.cardMarks.atFirst(width / height), width, height, moved: {} };
      measuring.add(entry);
      arrange();
      tell();
    }

    function ready() {
      measuring.delete(entry);
      arrange();
    }

    function unmeasured() {
      for (const key of ["placing", "card", "span", "width", "height"]) delete entry[key];
      measuring.delete(entry);
      arrange();
      tell();
    }

    /** Show the mode of the photo: mark and cover, or measure. */
    function arrange() {
      for (const old of handles?.parts || []) old.remove();
      handles = null;
      surface.classList.toggle("bay-holding", isMeasuring() || isCovering());
      const undo = entry.cover?.length ? button(say.uncover, uncovered) : null;
      if (isCovering()) {
        below.replaceChildren(
          made("p", { class: "bay-note" }, say.cover_help),
          made("div", { class: "bay-row" }, button(say.cover_done, turn, "bay-main-button"), undo || ""),
          asked,
        );
      } else if (isMeasuring()) {
        handles = bay.cardMarks.handles(surface, image, address, entry, vocabulary, changed);
        surface.append(...handles.parts);
        below.replaceChildren(
          size,
          made("p", { class: "bay-note" }, `${say.card_help} ${say.card_written}`),
          made(
            "div",
            { class: "bay-row" },
            button(say.card_done, ready, "bay-main-button"),
            button(say.card_stop, unmeasured),
          ),
        );
      } else {
        const rings = may.canMark ? [button(say.smaller, resized(0.8)), button(say.larger, resized(1.25))] : [];
        const card = may.canMeasure ? [button(say.card_start, measure)] : [];
        below.replaceChildren(
          size,
          may.canMark ? made("p", { class: "bay-note" }, say.mark_help) : "",
          made("div", { class: "bay-row" }, rings, button(say.cover_start, turn), undo || "", card),
          asked,
        );
      }
      draw();
    }

    image.addEventListener("error", () => {
      surface.replaceWith(made("p", { class: "bay-note" }, say.unread_photo));
      below.replaceChildren();
    });
    arrange();
    return made("div", { class: "bay-photo" }, surface, below);
  }

  return { figure, boxOf, isDrag, mayHide };
})();
