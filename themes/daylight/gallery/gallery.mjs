// Makes each frame as tall as its example, also when its width changes.

document.querySelectorAll("iframe").forEach((frame) => {
  frame.addEventListener("load", () => follow(frame));
  if (frame.contentDocument?.readyState === "complete") follow(frame);
});

/** @param {HTMLIFrameElement} frame */
function follow(frame) {
  const example = /** @type {Document} */ (frame.contentDocument).documentElement;
  if (!example) return;
  const fit = () => {
    frame.style.blockSize = `${example.scrollHeight + frame.offsetHeight - frame.clientHeight}px`;
  };
  new ResizeObserver(fit).observe(example);
}
