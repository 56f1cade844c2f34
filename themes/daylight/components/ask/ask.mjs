// Shares or copies the address of a vehicle or a defect: the phone's own share sheet where there is one.

/**
 * Add the button, which shares or copies the address.
 * @param {Part} item
 */
export function enhance(item) {
  const button = item.querySelector("button");
  const words = button.querySelector(".ask-share-words");
  const { address, done } = button.dataset;
  if (!navigator.share && !navigator.clipboard) return;
  button.addEventListener("click", async () => {
    try {
      if (navigator.share) return await navigator.share({ title: document.title, url: address });
      await navigator.clipboard.writeText(/** @type {string} */ (address));
      words.textContent = done;
    } catch {
      // The reader closed the share sheet, or the browser refuses the clipboard: the link stays where it is.
    }
  });
  item.hidden = false;
}
