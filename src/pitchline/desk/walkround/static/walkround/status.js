/* Says in words where each line is. */
import { lineOf } from "./form.js";

function said(text, kind) {
  const span = document.createElement("span");
  span.className = kind;
  span.textContent = text;
  return span;
}

export function showLine(form, line) {
  const at = lineOf(form, line.key);
  if (!at) return;
  if (!line.aside) at.querySelector("[data-version]").value = String(line.version);
  const state = at.querySelector(".state");
  const told = [];
  if (line.problem) told.push(said(line.problem, "wrong-said"));
  for (const one of line.warned) {
    const held = one.held ? " Held back until it is corrected, or kept with a reason." : "";
    told.push(said(one.said + held, "warned"));
  }
  if (line.words) told.push(said(line.words, line.aside ? "wrong-said" : "saved"));
  state.replaceChildren(...told);
  const keep = at.querySelector("[data-keep]");
  if (keep) keep.classList.toggle("shown", line.warned.length > 0 || keep.querySelector("input").value !== "");
}

export function showTold(page, answer) {
  page.querySelectorAll("[data-told]").forEach((span) => (span.textContent = answer.told));
}

export function showConnection(page, state) {
  const at = page.querySelector("[data-connection]");
  if (!at) return;
  const lines = (many) => `${many} ${many === 1 ? "line" : "lines"}`;
  const words = {
    sending: () => "Saving …",
    saved: () => (state.waiting ? `${lines(state.waiting)} to save` : "Everything is saved"),
    waiting: () => `No answer from the desk: ${lines(state.waiting)} not saved yet. It tries again by itself; leave this page open.`,
    refused: () => `Not saved: ${state.refused.join(" ")}`,
  };
  at.textContent = words[state.kind]();
  at.classList.toggle("wrong-said", state.kind === "waiting" || state.kind === "refused");
}
