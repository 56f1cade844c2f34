// The scripts of a condition page start here; each makes one thing better, and brings the control that it needs.

import { enhance as enhanceShare } from "./ask.mjs";
import { enhance as enhanceExplained } from "./explainer.mjs";
import { enhance as enhanceFolds } from "./fold.mjs";
import { enhance as enhanceLanguageLink } from "./language-link.mjs";
import { enhance as enhanceOutlook } from "./outlook.mjs";
import { enhance as enhanceStrip } from "./strip.mjs";
import { enhance as enhanceViewer } from "./viewer.mjs";
import { enhance as enhanceWalkAround } from "./walk-around.mjs";

// What lies folded away, many times over, can wait until the browser has nothing better to do.
const whenIdle = globalThis.requestIdleCallback ?? setTimeout;

enhanceExplained(document);
enhanceFolds(document);
const since = new URLSearchParams(location.search).get("since");
if (since !== null)
  import("./kept-notice.mjs").then(({ enhance }) => enhance(document.querySelector(".kept-otherwise"), since));
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".outlook-section").forEach(enhanceOutlook);
document.querySelectorAll(".defect-photos").forEach(enhanceStrip);
document.querySelectorAll(".viewer-template").forEach(enhanceViewer);
document.querySelectorAll(".walk-around-player").forEach(enhanceWalkAround);
whenIdle(() => document.querySelectorAll(".ask-share").forEach(enhanceShare));
