// A photo on which a tap sets the mark, and a drag covers a plate or a face. Places are fractions of the photo.
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

  /** Return the figure. `entry` is changed as it is marked, and `tell` is called after each change. */
  function figure(address, entry, called, tell, say, canMark = true) {
    const image = made("img", { src: address, alt: called, draggable: "false" });
    const over = made("div", { class: "bay-over" });
    const surface = made(
      "div",
      { class: "bay-surface", tabindex: "0", role: "group", "aria-label": bay.limits.filled(say.mark_of, { what: called }) },
      image,
      over,
    );

    function draw(pending) {
      const boxes = [...(entry.cover || []), ...(pending ? [pending] : [])];
      over.replaceChildren(
        ...boxes.map((box) => {
          const element = made("div", { class: "bay-cover" });
          Object.assign(element.style, { left: percent(box.x), top: percent(box.y), width: percent(box.w), height: percent(box.h) });
          return element;
        }),
      );
      if (entry.mark) {
        const ring = made("div", { class: "bay-ring" });
        Object.assign(ring.style, { left: percent(entry.mark.x), top: percent(entry.mark.y), width: percent(entry.mark.r * 2) });
        over.append(ring);
      }
    }

    function changed() {
      draw();
      tell();
    }

    let start = null;
    const place = (event) => {
      const bounds = image.getBoundingClientRect();
      return { x: within((event.clientX - bounds.left) / bounds.width), y: within((event.clientY - bounds.top) / bounds.height) };
    };
    surface.addEventListener("pointerdown", (event) => {
      start = place(event);
      surface.setPointerCapture(event.pointerId);
    });
    surface.addEventListener("pointermove", (event) => {
      if (start && isDrag(boxOf(start, place(event)))) draw(boxOf(start, place(event)));
    });
    surface.addEventListener("pointercancel", () => {
      start = null;
      draw();
    });
    surface.addEventListener("pointerup", (event) => {
      if (!start) return;
      const box = boxOf(start, place(event));
      if (isDrag(box) && box.w > 0.005 && box.h > 0.005) entry.cover = [...(entry.cover || []), box];
      else if (canMark) entry.mark = { ...start, r: entry.mark?.r || RADIUS };
      start = null;
      changed();
    });
    surface.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-0.02, 0], ArrowRight: [0.02, 0], ArrowUp: [0, -0.02], ArrowDown: [0, 0.02] }[event.key];
      if (!step || !canMark) return;
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
    };
    const rings = canMark ? [button(say.smaller, resized(0.8)), button(say.larger, resized(1.25))] : [];
    const help = made("p", { class: "bay-note" }, say.mark_help);
    image.addEventListener("error", () => surface.replaceWith(made("p", { class: "bay-note" }, say.unread_photo)));
    draw();
    return made("div", { class: "bay-photo" }, surface, help, made("div", { class: "bay-row" }, rings, button(say.uncover, uncovered)));
  }

  return { figure, boxOf, isDrag };
})();
