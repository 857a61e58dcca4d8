/* On a phone only the parts that still lack something, or have something wrong, stand open; without scripts all do. */
"use strict";

if (window.matchMedia("(max-width: 700px)").matches) {
  for (const part of document.querySelectorAll(".limit-part")) {
    const wrong = [...part.querySelectorAll(".wrong-said")].some((said) => said.textContent.trim());
    const lines = [...part.querySelectorAll(".limit-line")];
    const whole = lines.every((line) => ["new", "limit"].every((name) => line.querySelector(`[name$="~${name}"]`).value));
    part.open = wrong || part.querySelector(".moved") !== null || (!whole && !document.querySelector(".limit-part.first"));
    if (!whole && part.open) part.classList.add("first");
  }
}
