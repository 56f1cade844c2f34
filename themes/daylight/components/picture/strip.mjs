// A strip of photos is one stop by keyboard: the arrows go along it, and the viewer shows all of them.

/** Let the arrow keys go from photo to photo in a strip. */
export function enhance(strip) {
  const links = [...strip.querySelectorAll(".photo-link")];
  const stopAt = (stop) => {
    for (const link of links) link.tabIndex = link === stop ? 0 : -1;
  };
  strip.addEventListener("focusin", ({ target }) => stopAt(target));
  strip.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const next = step && links[links.indexOf(event.target) + step];
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
  stopAt(links[0]);
}
