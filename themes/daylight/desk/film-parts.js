// Computations of the film page: chapters to clips, captions, and pauses in speech. No page is touched here.
"use strict";
globalThis.filmParts = (() => {
  const WINDOW = 0.02; // seconds of one loudness reading
  const PAUSE = 0.35; // seconds of silence that end a phrase: this project's choice

  const round = (seconds) => Math.round(seconds * 100) / 100;
  const two = (number) => String(number).padStart(2, "0");

  /** Return a time as 1:05.3, in minutes and seconds. */
  function clock(seconds) {
    const tenths = Math.max(Math.round(seconds * 10), 0);
    return `${Math.floor(tenths / 600)}:${two(Math.floor((tenths % 600) / 10))}.${tenths % 10}`;
  }

  /** Return the seconds of a time that was typed (1:05.3 or 65.3), or null. */
  function secondsOf(text) {
    const found = /^(?:(\d+):)?(\d+(?:[.,]\d+)?)$/.exec(text.trim());
    return found ? Number(found[1] || 0) * 60 + Number(found[2].replace(",", ".")) : null;
  }

  /** Return marks with the time at which each ends: where the next begins; the last one ends with the film. */
  function chaptersOf(marks) {
    const ordered = [...marks].sort((one, other) => one.at - other.at);
    return ordered
      .map((mark, place) => ({ ...mark, end: ordered[place + 1]?.at ?? null }))
      .filter(({ key, at, end }) => key !== "out" && (end === null || end - at >= 0.1));
  }

  /** Return the cues of a chapter, timed from its beginning, in one language. */
  function cuesOf(chapter, phrases, language) {
    const end = chapter.end ?? Number.POSITIVE_INFINITY;
    return phrases
      .filter(({ start, text }) => start >= chapter.at && start < end && (text[language] || "").trim())
      .map((phrase) => [
        phrase.start - chapter.at,
        Math.min(phrase.end, end) - chapter.at,
        phrase.text[language].trim(),
      ]);
  }

  function time(seconds) {
    const all = Math.round(seconds * 1000);
    const [hours, minutes] = [Math.floor(all / 3_600_000), Math.floor(all / 60_000) % 60];
    return `${two(hours)}:${two(minutes)}:${two(Math.floor(all / 1000) % 60)}.${String(all % 1000).padStart(3, "0")}`;
  }

  /** Return a WebVTT file (W3C WebVTT, section 4). */
  function webvtt(cues) {
    const plain = (text) =>
      text
        .replace(/\s*\n\s*/g, "\n")
        .replace(/&/g, "&amp;")
        .replace(/</g, "&lt;")
        .replace(/>/g, "&gt;");
    return [
      "WEBVTT\n",
      ...cues.map(([start, end, text]) => `${time(start)} --> ${time(end)}\n${plain(text)}\n`),
    ].join("\n");
  }

  /**
   * Return {clips, captions}: the clips for the record, and the text of each caption file by its name. `film` has the
   * file's name without and with its ending, the marks, the phrases, the languages, and whether nobody speaks.
   */
  function clipsOf({ name, file, marks, phrases, languages, isMute }) {
    const captions = {};
    const clips = chaptersOf(marks).map((chapter, place) => {
      const [kind, what] = [
        chapter.key.slice(0, chapter.key.indexOf(" ")),
        chapter.key.slice(chapter.key.indexOf(" ") + 1),
      ];
      const clip = { file, [kind]: what, from: round(chapter.at) };
      if (chapter.end !== null) clip.to = round(chapter.end);
      const files = {};
      for (const language of isMute ? [] : languages) {
        const cues = cuesOf(chapter, phrases, language);
        if (!cues.length) continue;
        files[language] = `${name}-${place + 1}.${language}.vtt`;
        captions[files[language]] = webvtt(cues);
      }
      if (Object.keys(files).length) clip.captions = files;
      else if (isMute) clip.captions = "none";
      return clip;
    });
    return { clips, captions };
  }

  /** Return the loudness in dB of each window of sound. */
  function levels(samples, rate) {
    const size = Math.max(Math.round(rate * WINDOW), 1);
    const found = [];
    for (let at = 0; at + size <= samples.length; at += size) {
      let sum = 0;
      for (let place = at; place < at + size; place++) sum += samples[place] * samples[place];
      found.push(10 * Math.log10(sum / size + 1e-10));
    }
    return found;
  }

  /**
   * Return when somebody speaks, as [start, end] in seconds: where the sound is louder than a third of the way from its
   * quiet moments to its loud ones. Pauses shorter than PAUSE are part of a phrase.
   */
  function phrasesOf(samples, rate) {
    const loudness = levels(samples, rate);
    const ordered = [...loudness].sort((one, other) => one - other);
    const share = (part) => ordered[Math.floor((ordered.length - 1) * part)];
    const [quiet, loud] = [share(0.1), share(0.95)];
    if (!ordered.length || loud - quiet < 6) return [];
    const limit = quiet + (loud - quiet) / 3;
    const phrases = [];
    loudness.forEach((level, place) => {
      if (level < limit) return;
      const [start, end] = [place * WINDOW, (place + 1) * WINDOW];
      const last = phrases.at(-1);
      if (last && start - last[1] < PAUSE) last[1] = end;
      else phrases.push([start, end]);
    });
    return phrases.filter(([start, end]) => end - start >= 0.2).map((phrase) => phrase.map(round));
  }

  return { clock, secondsOf, chaptersOf, clipsOf, phrasesOf };
})();
