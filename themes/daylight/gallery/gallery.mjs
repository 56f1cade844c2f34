// Makes each frame as tall as the example in it, and keeps it so while it is made narrower or wider.

document.querySelectorAll("iframe").forEach((frame) => {
  frame.addEventListener("load", () => follow(frame));
  if (frame.contentDocument?.readyState === "complete") follow(frame);
});

function follow(frame) {
  const example = frame.contentDocument.documentElement;
  if (!example) return;
  const fit = () => {
    frame.style.blockSize = `${example.scrollHeight + frame.offsetHeight - frame.clientHeight}px`;
  };
  new ResizeObserver(fit).observe(example);
}
