// Plays a chapter in the player on the page, where without scripts its link opens the clip. Each chapter is a file of
// its own, so that this works on every host and from a folder; after it the next one plays. While the film plays, the
// pin of the defect that it shows is highlighted on the drawing.

/**
 * @typedef {{ src: string, small: string, start: number, end: number, defect: string | null,
 *   captions: { [language: string]: [number, number, string][] } }} Clip
 * @typedef {{ small: string, spoken: string | null, clips: Clip[] }} Film
 */

/**
 * Let every link to a chapter play it here; with another key held, a link stays a link.
 * @param {HTMLVideoElement} player
 */
export function enhance(player) {
  const section = /** @type {Part} */ (player.closest("section"));
  /** @type {Film} */
  const film = JSON.parse(section.querySelector(".film-data").textContent);
  const saving = isSlow();
  const whole = saving ? film.small : /** @type {HTMLSourceElement} */ (player.querySelector("source")).src;
  if (saving) player.src = whole; // with preload="none" that loads nothing yet
  const captions = ownCaptions(player, film);
  /** The chapter whose file the player has, or -1 while it has the whole film. */
  let playing = -1;
  captions(wholeCues(film));
  bringPoster(player);

  /** @param {number} number */
  const play = (number) => {
    playing = number;
    const clip = film.clips[number];
    captions(clip.captions);
    player.src = saving ? clip.small : clip.src;
    // A browser that does not let it play leaves it at the place, with its controls.
    player.play().catch(() => {});
  };

  player.addEventListener("ended", () => {
    if (playing >= 0 && playing + 1 < film.clips.length) return play(playing + 1);
    showNow(section, film, -1);
    if (playing >= 0) {
      playing = -1;
      captions(wholeCues(film));
      player.src = whole;
    }
  });
  const tell = () => {
    const at = player.currentTime;
    showNow(
      section,
      film,
      playing >= 0 ? playing : film.clips.findIndex(({ start, end }) => at >= start && at < end),
    );
  };
  player.addEventListener("timeupdate", tell);
  player.addEventListener("playing", tell);

  onLink(document.querySelectorAll(".film-seek"), (link) => {
    player.scrollIntoView({ block: "nearest" });
    if (!section.contains(link)) player.focus({ preventScroll: true });
    play(Number(link.dataset.clip));
  });
  onLink(document.querySelectorAll(".film-clip"), (link) => {
    const clip = film.clips[Number(link.dataset.clip)];
    const beside = document.createElement("video");
    Object.assign(beside, { className: "film-player", controls: true, playsInline: true });
    Object.assign(beside, { width: player.width, height: player.height, src: saving ? clip.small : clip.src });
    beside.setAttribute("aria-label", link.textContent.trim());
    ownCaptions(beside, film)(clip.captions);
    link.replaceWith(beside);
    beside.focus({ preventScroll: true });
    beside.play().catch(() => {});
  });
}

/** @param {NodeListOf<Element>} links @param {(link: HTMLAnchorElement) => void} act */
function onLink(links, act) {
  for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (links)) {
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
      event.preventDefault();
      act(link);
    });
  }
}

/**
 * Give a player tracks whose cues are on the page, since a page in a folder may load no caption file. Return what
 * puts the cues of another clip into them.
 * @param {HTMLVideoElement} player @param {Film} film
 */
function ownCaptions(player, film) {
  /** @type {Map<string, TextTrack>} */
  const tracks = new Map();
  const languages = new Set(film.clips.flatMap((clip) => Object.keys(clip.captions)));
  for (const language of languages) {
    const written = player.querySelector(`track[srclang="${language}"]`);
    const name =
      written?.getAttribute("label") ?? new Intl.DisplayNames([language], { type: "language" }).of(language);
    written?.remove();
    const track = player.addTextTrack("captions", name, language);
    track.mode = language === film.spoken ? "showing" : "disabled";
    tracks.set(language, track);
  }
  /** @param {Clip["captions"]} captions */
  return (captions) => {
    for (const [language, track] of tracks) {
      const { mode } = track;
      track.mode = "hidden"; // the cues of a track that is off cannot be reached
      for (const cue of [.../** @type {TextTrackCueList} */ (track.cues)]) track.removeCue(cue);
      for (const [start, end, text] of captions[language] ?? []) track.addCue(plainCue(start, end, text));
      track.mode = mode;
    }
  };
}

/** Return a cue whose text is shown as it is. @param {number} start @param {number} end @param {string} text */
function plainCue(start, end, text) {
  return new VTTCue(start, end, text.replace(/&/g, "&amp;").replace(/</g, "&lt;"));
}

/** Return the cues of all clips on the time of the whole film. @param {Film} film */
function wholeCues(film) {
  /** @type {Clip["captions"]} */
  const whole = {};
  for (const { start, end, captions } of film.clips) {
    for (const [language, cues] of Object.entries(captions)) {
      for (const [from, to, text] of cues.filter(([from]) => start + from < end)) {
        whole[language] ??= [];
        whole[language].push([start + from, Math.min(start + to, end), text]);
      }
    }
  }
  return whole;
}

/**
 * Mark the chapter that plays, and the pin of its defect on the drawing.
 * @param {Element} section @param {Film} film @param {number} number
 */
function showNow(section, film, number) {
  section.querySelectorAll(".film-chapter").forEach((chapter, place) => {
    chapter.classList.toggle("is-now", place === number);
  });
  const defect = film.clips[number]?.defect;
  for (const pin of document.querySelectorAll(".body-plan-pin"))
    pin.classList.toggle("is-filmed-now", pin.id === `pin-${defect}`);
}

/** Return whether the visitor asked to save data, or is on a slow link. */
function isSlow() {
  const { connection } = /** @type {any} */ (navigator);
  return Boolean(connection && (connection.saveData || /2g|3g/.test(connection.effectiveType)));
}

/**
 * Load the poster once the player is a screen away; as an attribute from the start it would load with the page.
 * @param {HTMLVideoElement} player
 */
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
