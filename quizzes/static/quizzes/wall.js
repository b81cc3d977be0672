/* The question on the wall: type as large as the screen holds, and keys, each of which follows the link that
   names it. */
"use strict";

// In hundredths of the screen's width: what the back row still reads, and what is large enough.
const LEAST = 1.7;
const MOST = 5.5;
const ROUNDS = 8;

function holds(size) {
  const page = document.documentElement;
  document.body.style.setProperty("--size", `${size}vw`);
  return page.scrollHeight <= page.clientHeight && page.scrollWidth <= page.clientWidth;
}

function fill() {
  // While it is tried no word is broken, so that a formula too long for its line shows.
  document.body.style.overflowWrap = "normal";
  let held = LEAST;
  let over = MOST;
  if (holds(MOST)) held = MOST;
  for (let round = 0; held < MOST && round < ROUNDS; round += 1) {
    const middle = (held + over) / 2;
    if (holds(middle)) held = middle;
    else over = middle;
  }
  holds(held);
  document.body.style.overflowWrap = "";
}

fill();
window.addEventListener("resize", fill);

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const link = document.querySelector(`[data-keys~="${CSS.escape(event.code)}"]`);
  if (!link) return;
  event.preventDefault();
  link.click();
});
