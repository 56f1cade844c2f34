// Saves what was entered as one file: a whole vehicle, or a visit to one that the store has.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, and the entries of the vehicle that is open. */
bay.saving = (page) => {
  const { made, button } = bay.entries;
  const { filled } = bay.limits;
  const say = page.vocabulary.words;

  /** The moment of a visit: that of the last saving, unless anything was entered since. */
  function moment() {
    const { entries } = page;
    if (!entries.saved || entries.changed) return globalThis.moments.momentOf(new Date());
    return entries.saved;
  }

  async function contentsOf(files) {
    const contents = new Map();
    for (const { photo } of files) contents.set(photo, new Blob([(await bay.storage.photo(photo)).bytes]));
    return contents;
  }

  const fileName = (on) =>
    page.known ? `${page.known.stock}-${globalThis.moments.nameOf(on)}.zip` : `${page.entries.stock}.zip`;

  async function packed(on) {
    const { entries, known, vocabulary } = page;
    const name = fileName(on);
    const zip = (bytes) => new File([bytes], name, { type: "application/zip" });
    if (!known) {
      const { record, files } = bay.record.recordOf(entries, vocabulary);
      return zip(await bay.record.zipOf(record, files, await contentsOf(files)));
    }
    const { visit, files } = bay.visit.visitOf(entries, known, vocabulary, on);
    const folder = `vehicles/${known.stock}/`;
    const file = `${folder}visits/${globalThis.moments.nameOf(on)}.yaml`;
    return zip(await bay.record.zipOf(visit, files, await contentsOf(files), file, folder));
  }

  function download(zip) {
    const address = URL.createObjectURL(zip);
    const link = made("a", { href: address, download: zip.name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }

  /** The buttons that share and save, and what became of it. */
  function ways() {
    const told = made("p", { role: "status", class: "bay-note", id: "saved" });
    const acting = (act) => async () => {
      const on = moment();
      try {
        await act(await packed(on));
        page.saved(on);
        told.textContent = filled(say.saved, { file: fileName(on) });
      } catch (fault) {
        if (fault.name !== "AbortError") told.textContent = filled(say.not_saved, { why: fault.message });
      }
    };
    const file = fileName(moment());
    const probe = new File([], file, { type: "application/zip" });
    const shared = acting((zip) => navigator.share({ files: [zip] }));
    return [
      navigator.canShare?.({ files: [probe] })
        ? button(filled(say.share, { file }), shared, "bay-main-button")
        : null,
      button(filled(say.save, { file }), acting(download), "bay-main-button", { id: "save" }),
      told,
    ];
  }

  return { ways };
};
