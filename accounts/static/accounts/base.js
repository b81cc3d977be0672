/* When a part of the page cannot be exchanged with the site, say so: htmx alone would stay silent. */
"use strict";

(() => {
  const place = () => document.getElementById("trouble");

  const tell = (name) => () => {
    const words = document.getElementById(name).content.cloneNode(true);
    place()?.replaceChildren(words);
  };

  document.addEventListener("htmx:sendError", tell("not-sent"));
  document.addEventListener("htmx:timeout", tell("not-sent"));
  document.addEventListener("htmx:responseError", tell("not-taken"));
  document.addEventListener("htmx:afterSwap", () => place()?.replaceChildren());
})();
