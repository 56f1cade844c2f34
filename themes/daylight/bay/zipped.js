// Packs files into a zip, for the bay page and the desk's film page.
"use strict";
globalThis.zipped = (() => {
  const PIECE = 4_000_000; // bytes of a file that are in memory at once

  /** Return a zip of files, {name: Blob}, stored as they are, since photos and films are compressed already. */
  async function zipOf(files) {
    const parts = [];
    let fault = null;
    const zip = new fflate.Zip((wrong, piece) => {
      fault ??= wrong;
      if (piece) parts.push(new Blob([piece]));
    });
    for (const [name, content] of Object.entries(files)) {
      const entry = new fflate.ZipPassThrough(name);
      zip.add(entry);
      if (!content.size) entry.push(new Uint8Array(), true);
      for (let at = 0; at < content.size; at += PIECE) {
        const piece = await content.slice(at, at + PIECE).arrayBuffer();
        entry.push(new Uint8Array(piece), at + PIECE >= content.size);
      }
    }
    zip.end();
    if (fault) throw fault;
    return new Blob(parts, { type: "application/zip" });
  }

  return { zipOf };
})();
