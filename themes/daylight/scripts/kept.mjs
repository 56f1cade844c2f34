// Entry script of a kept list: the vehicles in its address, and the link to another language.

import { enhance as enhanceLanguageLink } from "../components/page-frame/language-link.mjs";
import { enhance as enhanceKeptList } from "../components/kept/kept-list.mjs";
import { carryChoice } from "../components/outlook/outlook-choice.mjs";

carryChoice(document);
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".kept-list").forEach(enhanceKeptList);
