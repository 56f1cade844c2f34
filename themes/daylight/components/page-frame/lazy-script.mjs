// Loads scripts that a page needs only after the reader does something, so that the page opens without their weight.
// `import()` fails in a page that is opened from a folder, where every file is an origin of its own; a script element
// does not. A script that is loaded this way lies in scripts/ beside those that pages name, and calls `offer`.

globalThis.sitegenOffered ??= {};
/** @type {Record<string, any>} */
const offered = globalThis.sitegenOffered;
const running = /** @type {HTMLScriptElement | null} */ (globalThis.document?.currentScript)?.src;

/**
 * Register what a script offers, under its published name.
 *
 * @param {string} name
 * @param {Record<string, unknown>} exports
 */
export function offer(name, exports) {
  offered[name] = exports;
}

/**
 * Return what a script offers, by its published name. The first call loads the script from beside the running one.
 * Rejects if it does not load or offers nothing.
 *
 * @param {string} name
 * @returns {Promise<any>}
 */
export function loadScript(name) {
  return new Promise((resolve, reject) => {
    if (offered[name]) return resolve(offered[name]);
    const script = document.createElement("script");
    script.src = new URL(name, running).href;
    script.onload = () => (offered[name] ? resolve(offered[name]) : reject(new Error(name)));
    script.onerror = () => reject(new Error(name));
    document.head.append(script);
  });
}
