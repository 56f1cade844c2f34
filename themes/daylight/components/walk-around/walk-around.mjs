// Takes the video that is on the page to a chapter, where without scripts the link opens the file there. A visitor who
// comes from a defect's card is brought to the player.

/** Let every link to a place in the video go there in this player; with another key held, a link stays a link. */
export function enhance(player) {
  const section = player.closest("section");
  bringPoster(player);
  /** @type {NodeListOf<HTMLAnchorElement>} */
  const links = document.querySelectorAll(".walk-around-seek");
  for (const link of links) {
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
      event.preventDefault();
      player.currentTime = Number(new URL(link.href).hash.replace("#t=", ""));
      player.scrollIntoView({ block: "nearest" });
      if (!section.contains(link)) player.focus({ preventScroll: true });
      // A browser that does not let it play leaves it at the place, with its controls.
      player.play().catch(() => {});
    });
  }
}

/** Load the poster once the player is a screen away; as an attribute from the start it would load with the page. */
function bringPoster(player) {
  const { poster } = player.dataset;
  if (!poster) return;
  const coming = new IntersectionObserver(
    (seen) => {
      if (!seen.some(({ isIntersecting }) => isIntersecting)) return;
      player.poster = poster;
      coming.disconnect();
    },
    { rootMargin: "100%" },
  );
  coming.observe(player);
}
