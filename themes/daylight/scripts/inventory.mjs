// Entry script of a list of vehicles. Each imported script improves one thing and adds the control that it needs.

import { enhance as enhanceLanguageLink } from "../components/page-frame/language-link.mjs";
import { enhance as enhanceChoice } from "../components/comparison/compare-choice.mjs";
import { enhance as enhanceFilters } from "../components/inventory-filters/inventory-filters.mjs";
import { carryChoice } from "../components/outlook/outlook-choice.mjs";

carryChoice(document);
document.querySelectorAll(".language-link").forEach(enhanceLanguageLink);
document.querySelectorAll(".compare-bar").forEach(enhanceChoice);
document.querySelectorAll(".inventory-filters").forEach(enhanceFilters);
