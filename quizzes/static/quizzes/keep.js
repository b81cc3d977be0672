/* Nothing typed is lost: an answer is kept in this tab until the site has taken it.

   What was sent keeps the token it was sent with, so that however often it is sent it counts once. When
   the connection is gone the form says so, and sends itself again when it is back. */
"use strict";

(() => {
  const AGAIN = 4000; // milliseconds between two attempts
  const BEHIND = 502; // from here on a status says that the site could not be reached behind its gate
  const waiting = new Set();
  const isField = (field) => field.name === "answer" || field.name === "option";
  const read = (form) => JSON.parse(sessionStorage.getItem(form.dataset.keep) ?? "null");
  const forms = () => document.querySelectorAll("form[data-keep]");

  const keep = (form, token) => {
    const fields = [...form.elements].filter(isField);
    const text = fields.find((field) => field.name === "answer")?.value;
    const options = fields.filter((field) => field.checked).map((field) => field.value);
    sessionStorage.setItem(form.dataset.keep, JSON.stringify({ text, options, token }));
  };

  const restore = (form) => {
    const kept = read(form);
    if (!kept) return;
    if (kept.token && kept.token === form.dataset.taken) return sessionStorage.removeItem(form.dataset.keep);
    if (kept.token) form.elements.token.value = kept.token;
    for (const field of [...form.elements].filter(isField)) {
      if (field.name === "option") field.checked = kept.options.includes(field.value);
      else if (field.value !== kept.text) {
        field.value = kept.text;
        field.dispatchEvent(new InputEvent("input", { bubbles: true }));
      }
    }
  };

  const say = (form, name) => {
    const words = name && document.getElementById(name).content.cloneNode(true);
    form.querySelector(".unsent").replaceChildren(...(words ? [words] : []));
  };

  const again = () => {
    for (const form of waiting) {
      waiting.delete(form);
      if (form.isConnected) form.requestSubmit();
    }
  };

  const unsent = ({ detail }) => {
    document.getElementById("trouble")?.replaceChildren();
    if (!detail.elt.matches?.("form[data-keep]")) return;
    say(detail.elt, "sent-again");
    waiting.add(detail.elt);
    setTimeout(again, AGAIN);
  };

  document.addEventListener("input", ({ target }) => {
    const form = target.closest("form[data-keep]");
    if (form && isField(target)) keep(form, read(form)?.token);
  });
  document.addEventListener("submit", ({ target }) => {
    if (target.matches("form[data-keep]")) keep(target, target.elements.token.value);
    if (target.action.endsWith("/sign-out/")) sessionStorage.clear();
  }, true);
  document.addEventListener("htmx:afterRequest", ({ detail }) => {
    if (detail.successful && detail.elt.matches?.("form[data-keep]")) {
      sessionStorage.removeItem(detail.elt.dataset.keep);
    }
  });
  // On the window, which hears of it after the document: the general words of base.js give way to these.
  window.addEventListener("htmx:sendError", unsent);
  window.addEventListener("htmx:timeout", unsent);
  window.addEventListener("htmx:responseError", (event) => {
    if (event.detail.xhr.status >= BEHIND) unsent(event);
  });
  document.addEventListener("htmx:afterSwap", () => forms().forEach(restore));
  document.addEventListener("DOMContentLoaded", () => forms().forEach(restore));
  window.addEventListener("online", again);
})();
