/* Says in words where each line is. */
import { isOpen, lineOf } from "./form.js";

function said(text, kind) {
  const span = document.createElement("span");
  span.className = kind;
  span.textContent = text;
  return span;
}

export function showWaiting(form, key) {
  const at = lineOf(form, key)?.querySelector(".state");
  if (at && !at.querySelector(".waiting")) at.replaceChildren(said("waiting to be saved", "waiting"));
}

export function showRefused(form, key, problems) {
  lineOf(form, key)?.querySelector(".state").replaceChildren(said(`Not saved: ${problems.join(" ")}`, "wrong-said"));
}

export function showLine(form, line) {
  const at = lineOf(form, line.key);
  if (!at) return;
  if (!line.aside) at.querySelector("[data-version]").value = String(line.version);
  const told = [];
  if (line.problem) told.push(said(line.problem, "wrong-said"));
  if (line.spread) told.push(said(line.spread, "spread"));
  if (line.words) told.push(said(line.words, line.aside ? "wrong-said" : "saved"));
  at.querySelector(".state").replaceChildren(...told);
}

/** What looks wrong stands beside its line; what no longer does goes. */
export function showWarned(form, warned) {
  form.querySelectorAll("[data-warnings]").forEach((at) => {
    const line = at.closest("[data-line]");
    const found = warned[line.dataset.line] ?? [];
    const words = found.map((one) => one.said + (one.held ? " Held back until it is corrected, or kept with a reason." : ""));
    if (words.join() !== [...at.children].map((one) => one.textContent).join()) {
      at.replaceChildren(...words.map((text) => said(text, "warned")));
    }
    const keep = line.querySelector("[data-keep]");
    keep.classList.toggle("shown", found.length > 0 || keep.querySelector("input").value !== "");
  });
}

export function showTold(page, answer) {
  page.querySelectorAll("[data-told]").forEach((span) => (span.textContent = answer.told));
}

/** What is still to be read, counted on the page itself: it is right without a signal too. */
export function showMissing(page, form) {
  let count = 0;
  page.querySelectorAll("[data-missing]").forEach((item) => {
    const lines = [...form.querySelectorAll("[data-line]")].filter((line) => line.dataset.line.startsWith(`${item.dataset.missing}:`));
    const open = lines.filter(isOpen).map((line) => line.dataset.label);
    item.hidden = open.length === 0;
    item.querySelector("[data-unread]").textContent = open.join(", ");
    count += open.length;
  });
  page.querySelectorAll("[data-missing-count]").forEach((span) => (span.textContent = String(count)));
}

export function offerLettingGo(page, letGo) {
  const at = page.querySelector("[data-connection]");
  if (!at) return;
  const button = page.createElement("button");
  button.type = "button";
  button.className = "button";
  button.textContent = "Let it go";
  button.addEventListener("click", () => {
    letGo();
    page.location.reload();
  });
  setTimeout(() => at.append(" ", button));
}

export function showConnection(page, state) {
  const at = page.querySelector("[data-connection]");
  if (!at) return;
  const lines = (many) => `${many} ${many === 1 ? "line" : "lines"}`;
  const words = {
    sending: () => "Saving …",
    saved: () => (state.waiting ? `${lines(state.waiting)} to save` : "Everything is saved"),
    waiting: () => `No answer from the desk: ${lines(state.waiting)} not saved yet, kept in this phone. It tries again by itself.`,
    refused: () => `Not saved: ${state.refused.join(" ")}`,
  };
  at.textContent = words[state.kind]();
  at.classList.toggle("wrong-said", state.kind === "waiting" || state.kind === "refused");
}
