/* Draws what is typed so far; where the track is changed, the desk says what is asked of such a one. Nothing is kept by either. */

const form = document.querySelector(".gear-form");
const drawn = document.querySelector("#gear-drawn");
const WAITS_MS = 350;
let waiting = 0;
let asked = 0;

/* What a size in one breath says goes into the fields it is made of, where nothing else stands in them. */
const filled = new Map();
function fill() {
  for (const one of drawn.querySelectorAll("[data-fills]")) {
    const field = form.elements[one.dataset.fills];
    if (field && (field.value === "" || field.value === filled.get(field.name))) {
      field.value = one.value;
      filled.set(field.name, one.value);
    }
  }
}

async function draw() {
  const mine = ++asked;
  const typed = new FormData(form);
  typed.delete("csrfmiddlewaretoken");
  try {
    const answer = await fetch(`${form.dataset.drawn}?${new URLSearchParams(typed)}`);
    const text = await answer.text();
    if (!answer.ok || mine !== asked) return;
    drawn.innerHTML = text;
    fill();
  } catch {
    // no signal: the drawing stays as it was, and so does what is typed
  }
}

async function askAnew() {
  const mine = ++asked;
  const typed = new FormData(form);
  typed.set("draw", "1");
  try {
    const answer = await fetch(form.action || location.href, { method: "POST", body: typed });
    if (!answer.ok || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const name = document.activeElement?.id;
    document.querySelector(".gear-fields").innerHTML = page.querySelector(".gear-fields").innerHTML;
    drawn.innerHTML = page.querySelector("#gear-drawn").innerHTML;
    if (name) document.getElementById(name)?.focus();
  } catch {
    // as above
  }
}

form?.addEventListener("input", (event) => {
  clearTimeout(waiting);
  waiting = setTimeout(event.target.name === "track" ? askAnew : draw, event.target.name === "track" ? 0 : WAITS_MS);
});
