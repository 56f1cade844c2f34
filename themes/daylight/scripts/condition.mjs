// The scripts of a condition page start here; each makes one thing better, and brings the control that it needs.

import { enhance as enhanceShare } from "../components/ask/ask.mjs";
import { enhance as enhanceExplained } from "../components/explainer/explainer.mjs";
import { enhance as enhanceFilm } from "../components/film/film.mjs";
import { enhance as enhanceFolds } from "../components/fold/fold.mjs";
import { enhance as enhanceLanguageLink } from "../components/page-frame/language-link.mjs";
import { loadScript } from "../components/page-frame/lazy-script.mjs";
import { enhance as enhanceOutlook } from "../components/outlook/outlook.mjs";
import { enhance as enhanceStrip } from "../components/picture/strip.mjs";
import { enhance as enhanceViewer } from "../components/viewer/viewer.mjs";
import { carryChoice } from "../components/outlook/outlook-choice.mjs";

// What lies folded away, many times over, can wait until the browser has nothing better to do.
const whenIdle = globalThis.requestIdleCallback ?? setTimeout;

enhanceExplained(document);
enhanceFolds(document);
const since = new URLSearchParams(location.search).get("since");
if (since !== null)
  loadScript("lazy-kept-notice.js").then(({ enhance }) => enhance(document.querySelector(".kept-otherwise"), since));
carryChoice(document);
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".outlook-section").forEach(enhanceOutlook);
document.querySelectorAll(".defect-photos").forEach(enhanceStrip);
document.querySelectorAll(".viewer-template").forEach(enhanceViewer);
document.querySelectorAll(".film-player").forEach(enhanceFilm);
whenIdle(() => document.querySelectorAll(".ask-share").forEach(enhanceShare));
