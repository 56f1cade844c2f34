// Entry script of the comparison: vehicles side by side, and the link to another language.

import { enhance as enhanceLanguageLink } from "../components/page-frame/language-link.mjs";
import { enhance as enhanceComparison } from "../components/comparison/comparison.mjs";
import { carryChoice } from "../components/outlook/outlook-choice.mjs";

carryChoice(document);
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".comparison-section").forEach(enhanceComparison);
