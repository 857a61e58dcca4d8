/* A photo taken or chosen on a walk-round is kept at once: made smaller, written in this browser, sent; what it shows is said after. */
import { counted, say } from "../desk/say.js";
import { canvasOf, smaller } from "../desk/smaller.js";
import { Waiting } from "./waiting.js";

const LONGEST_MS = 60000;
const AGAIN_MS = 15000;
const SMALL_PX = 180;
const waiting = new Waiting();
const shown = new Map();
let sending = false;

document.querySelectorAll(".photo-form").forEach(ready);
document.addEventListener("change", (event) => {
  const form = event.target.matches("input[type=file]") && event.target.closest(".photo-form");
  if (form) takeAll(form, event.target);
});
const part = document.querySelector("[data-part-name]");
if (part) new MutationObserver(() => sum("")).observe(part, { childList: true });
window.addEventListener("online", sendAll);
setInterval(sendAll, AGAIN_MS);
waiting.all().then((all) => {
  all.filter((one) => one.file).forEach((one) => {
    show(one);
    showPicture(one);
    tell(one, one.refused ? say("Not kept: {why}", { why: one.refused }) : notYet(one), true);
  });
  sendAll();
});

/** The button is for a page without scripts; what it shows is asked of each photo by itself. */
function ready(form) {
  form.classList.add("at-once");
}

/** @param {HTMLFormElement} form  @param {HTMLInputElement} input */
async function takeAll(form, input) {
  ready(form);
  const said = Object.fromEntries(["part", "sheet", "finding"].map((name) => [name, form.elements[name].value]));
  const place = form.elements.keep_place.checked ? { keep_place: "1" } : {};
  const files = [...input.files];
  input.value = "";
  for (const [n, file] of files.entries()) {
    const one = { id: newId(), at: Date.now() + n / 1000, action: form.action, fields: { ...said, ...place }, name: file.name, file, caption: "" };
    show(one);
    tell(one, say("Being kept …"));
    one.file = place.keep_place ? file : await smaller(file);
    if (one.file !== file) one.name = file.name.replace(/(\.\w+)?$/, ".jpg");
    one.isKeptHere = await waiting.put(one);
    showPicture(one);
    sendAll();
  }
}

/** One after the other; the first that no desk answers ends it until the next try. */
async function sendAll() {
  if (sending) return;
  sending = true;
  const tried = new Set();
  try {
    for (let one; (one = (await waiting.all()).find((each) => !each.refused && !tried.has(each.id))); ) {
      const caption = one.caption;
      const answer = await send(one);
      if (answer === null || answer.isOut) {
        tell(one, answer && one.isKeptHere ? say("Sign in again") : notYet(one), Boolean(one.file));
        break;
      }
      tried.add(one.id);
      await settle(one, answer, caption);
      if (one.caption !== caption && !one.refused) tried.delete(one.id);
    }
  } finally {
    sending = false;
    sum();
  }
}

async function settle(one, answer, caption) {
  if (answer.problems?.length > 0) {
    one.refused = answer.problems.join(" ");
    await waiting.put(one);
    return tell(one, say("Not kept: {why}", { why: one.refused }), true);
  }
  const row = answer.kept?.[0];
  one.page = row?.page ?? one.page;
  one.version = answer.version ?? 1;
  one.file = null;
  if (one.caption === caption) await waiting.drop(one.id);
  else await waiting.put(one);
  tell(one, row?.what === "document" ? say("Document kept.") : say("Photo kept."));
}

/** @returns {Promise<object | null>} the desk's answer; null where none came that is one */
async function send(one) {
  const body = new FormData();
  body.set("csrfmiddlewaretoken", document.querySelector("[name=csrfmiddlewaretoken]").value);
  body.set("caption", one.caption);
  if (one.file) {
    Object.entries({ ...one.fields, send_id: one.id }).forEach(([name, text]) => body.set(name, text));
    body.set("files", one.file, one.name);
  } else body.set("seen_version", String(one.version));
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), LONGEST_MS);
  try {
    const address = one.file ? one.action : `${one.page}caption/`;
    const reply = await fetch(address, { method: "POST", body, headers: { Accept: "application/json" }, redirect: "manual", signal: stop.signal });
    if (reply.type === "opaqueredirect" || reply.status === 403) return { isOut: true };
    if (!(reply.headers.get("Content-Type") || "").startsWith("application/json")) return null;
    const answer = await reply.json();
    return reply.ok || (reply.status === 400 && Array.isArray(answer.problems)) ? answer : null;
  } catch {
    return null;
  } finally {
    clearTimeout(timer);
  }
}

/** A line for it beside the part's photos: picture, how it stands, what it shows. One of another walk-round is sent from here, too, but has no line. */
function show(one) {
  const form = [...document.querySelectorAll(".photo-form")].find(
    ({ action, elements }) => action === one.action && elements.part.value === one.fields.part && elements.sheet.value === one.fields.sheet,
  );
  const photos = form?.closest(".photos");
  if (!photos || shown.has(one.id)) return;
  const line = document.createElement("div");
  line.className = "just-taken";
  const state = document.createElement("p");
  state.setAttribute("role", "status");
  line.append(state, captionOf(one), letGo(one, line));
  photos.prepend(line);
  shown.set(one.id, { line, state });
}

async function showPicture(one) {
  const line = shown.get(one.id)?.line;
  if (!line) return;
  try {
    const canvas = await canvasOf(one.file, SMALL_PX);
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", say("The photo just taken"));
    line.prepend(canvas);
  } catch {
    line.prepend(Object.assign(document.createElement("b"), { textContent: one.name }));
  }
}

function captionOf(one) {
  const label = document.createElement("label");
  const box = document.createElement("input");
  box.maxLength = 500;
  box.value = one.caption;
  box.addEventListener("change", async () => {
    one.caption = box.value.trim();
    one.refused = "";
    await waiting.put(one);
    sendAll();
  });
  label.append(say("What it shows"), box);
  return label;
}

/** Offered only while no desk has it. */
function letGo(one, line) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button";
  button.hidden = true;
  button.textContent = say("Let it go");
  button.addEventListener("click", async () => {
    await waiting.drop(one.id);
    shown.delete(one.id);
    line.remove();
    sum();
  });
  return button;
}

function notYet(one) {
  return one.isKeptHere
    ? say("No answer from the desk: kept in this phone. It tries again by itself.")
    : say("No answer from the desk, and this browser keeps nothing: leave this page open. It tries again by itself.");
}

function tell(one, words, mayGo = false) {
  const line = shown.get(one.id);
  if (!line) return;
  line.state.textContent = words;
  line.line.querySelector("button").hidden = !mayGo;
  sum(words);
}

/** The same in the bar that stays in view; a tap leads to the line. */
async function sum(words) {
  const bar = document.querySelector("[data-here-bar]");
  if (!bar) return;
  const at = document.querySelector("[data-photos-said]") ?? bar.appendChild(barLine());
  const left = (await waiting.all()).filter((one) => one.file).length;
  const text = left > 0 ? counted("{n} photo waits in this phone", "{n} photos wait in this phone", left) : (words ?? at.textContent);
  at.hidden = text === "";
  if (at.textContent !== text) at.textContent = text;
}

function barLine() {
  const line = Object.assign(document.createElement("button"), { type: "button", className: "plain" });
  line.dataset.photosSaid = "";
  line.addEventListener("click", () => [...shown.values()].at(-1)?.line.scrollIntoView({ block: "start" }));
  return line;
}

/** As `crypto.randomUUID`, which an address that is not safe has not. */
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  return [...bytes].map((one, n) => ([4, 6, 8, 10].includes(n) ? "-" : "") + one.toString(16).padStart(2, "0")).join("");
}
