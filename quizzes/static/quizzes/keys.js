/* The keys under an answer box: each puts a sign at the caret, and the box keeps the focus.

   A key that turns digits into small ones stays down while digits and signs are typed. The row is one
   stop for Tab, with arrows inside, as a toolbar is. */
"use strict";

(() => {
  const small = {
    lower: new Map([..."0123456789"].map((digit, place) => [digit, [..."₀₁₂₃₄₅₆₇₈₉"][place]])),
    upper: new Map([..."0123456789+-−"].map((sign, place) => [sign, [..."⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁻"][place]])),
  };
  const rowOf = (box) => document.querySelector(`.keys[aria-controls="${box.id}"]`);
  const boxOf = (row) => document.getElementById(row.getAttribute("aria-controls"));
  const downIn = (row) => row?.querySelector('[aria-pressed="true"]');

  const put = (box, text) => {
    box.setRangeText(text, box.selectionStart, box.selectionEnd, "end");
    box.dispatchEvent(new InputEvent("input", { bubbles: true }));
  };

  const turn = (key, row, box) => {
    const down = key.getAttribute("aria-pressed") === "true";
    downIn(row)?.setAttribute("aria-pressed", "false");
    key.setAttribute("aria-pressed", String(!down));
    const chosen = box.value.slice(box.selectionStart, box.selectionEnd);
    if (down || !chosen) return;
    put(box, [...chosen].map((sign) => small[key.dataset.turns].get(sign) ?? sign).join(""));
    key.setAttribute("aria-pressed", "false");
  };

  const rise = () => document.querySelectorAll(".keys[hidden]").forEach((row) => (row.hidden = false));

  document.addEventListener("mousedown", (event) => {
    if (event.target.closest?.(".keys button")) event.preventDefault();
  });

  document.addEventListener("click", (event) => {
    const key = event.target.closest?.(".keys button");
    if (!key) return;
    const row = key.closest(".keys");
    const box = boxOf(row);
    if (key.dataset.turns) turn(key, row, box);
    else put(box, key.dataset.inserts);
    box.focus();
  });

  document.addEventListener("input", (event) => {
    const key = event.data && event.target.matches("input") && downIn(rowOf(event.target));
    if (!key) return;
    const turned = [...event.data].map((sign) => small[key.dataset.turns].get(sign));
    if (turned.includes(undefined)) return key.setAttribute("aria-pressed", "false");
    const end = event.target.selectionStart;
    event.target.setRangeText(turned.join(""), end - event.data.length, end, "end");
  });

  document.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const key = step && event.target.closest?.(".keys button");
    if (!key) return;
    const keys = [...key.parentElement.children];
    const next = keys.at((keys.indexOf(key) + step) % keys.length);
    key.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
    event.preventDefault();
  });

  document.addEventListener("DOMContentLoaded", rise);
  document.addEventListener("htmx:afterSwap", rise);
})();
