// Opens a photo over the whole screen. The viewer's script is loaded with the first photo that is opened, so that a page
// stays small. If loading fails, the link opens the full-size picture as without scripts.

import { loadScript } from "../page-frame/lazy-script.mjs";

/**
 * Make every photo link of the page open the viewer. With a modifier key, a link stays a link.
 * @param {HTMLTemplateElement} template
 */
export function enhance(template) {
  document.addEventListener("click", async (event) => {
    /** @type {HTMLAnchorElement | null} */
    const link = event.target instanceof Element ? event.target.closest(".photo-link") : null;
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    try {
      const { show } = await loadScript("lazy-viewer.js");
      show([...document.querySelectorAll(".photo-link")], link, template);
    } catch {
      location.assign(link.href);
    }
  });
}
