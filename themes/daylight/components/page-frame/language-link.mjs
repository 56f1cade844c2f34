// Keeps the reader's place when they change the language: the part of the page they are at, and the figure they set.

/** Let a link to the same page in another language carry what stands after this page's address. */
export function enhance(link) {
  const keepPlace = () => {
    link.search = location.search;
    link.hash = location.hash;
  };
  for (const event of ["pointerdown", "focus", "click"]) link.addEventListener(event, keepPlace);
}
