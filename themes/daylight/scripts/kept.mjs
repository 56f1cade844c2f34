// The scripts of a kept list start here: what its address names, and the way to the same in another language.

import { enhance as enhanceLanguageLink } from "../components/page-frame/language-link.mjs";
import { enhance as enhanceKeptList } from "../components/kept/kept-list.mjs";
import { carryChoice } from "../components/outlook/outlook-choice.mjs";

carryChoice(document);
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".kept-list").forEach(enhanceKeptList);
