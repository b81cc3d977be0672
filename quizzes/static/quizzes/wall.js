/* Keys of the question on the wall: each follows the link that names it. */
"use strict";

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const link = document.querySelector(`[data-keys~="${CSS.escape(event.code)}"]`);
  if (!link) return;
  event.preventDefault();
  link.click();
});
