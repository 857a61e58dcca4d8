/* Says in words where each line is. */
import { counted, say } from "../desk/say.js";
import { isOpen, lineOf } from "./form.js";
import { isAnythingSeen } from "./seen.js";
import { countsOf, leftOf, markOf } from "./standing.js";

const HELD = say("Held back until it is corrected, or kept with a reason.");

function said(text, kind, tag = "span") {
  const element = document.createElement(tag);
  element.className = kind;
  element.textContent = text;
  return element;
}

export function showWaiting(form, key) {
  const at = lineOf(form, key)?.querySelector(".state");
  if (at && !at.querySelector(".waiting")) at.replaceChildren(said(say("waiting to be saved"), "waiting"));
}

export function showRefused(form, key, problems) {
  lineOf(form, key)?.querySelector(".state").replaceChildren(said(say("Not saved: {why}", { why: problems.join(" ") }), "wrong-said"));
}

export function showLine(form, line) {
  const at = lineOf(form, line.key);
  if (!at) return;
  if (!line.aside) at.querySelector('[name$="~v"]').value = String(line.version);
  const told = [];
  if (line.problem && !at.querySelector("[data-wrong-of]")) told.push(said(line.problem, "wrong-said"));
  if (line.spread) told.push(said(line.spread, "spread"));
  if (line.words) told.push(said(line.words, line.aside ? "wrong-said" : "saved"));
  at.querySelector(".state").replaceChildren(...told);
  showWrong(at, line.wrong ?? {});
}

/** The field that cannot be used is marked, and what is wrong stands beside it, clear of what is fixed to the window's edge. */
function showWrong(line, wrong) {
  const fresh = Object.keys(wrong).length > 0 && !line.hasAttribute("data-wrong");
  line.toggleAttribute("data-wrong", Object.keys(wrong).length > 0);
  line.querySelectorAll("[aria-invalid]").forEach((field) => {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
  });
  line.querySelectorAll("[data-wrong-of]").forEach((at) => (at.textContent = wrong[at.dataset.wrongOf] ?? ""));
  Object.keys(wrong).forEach((name) => {
    const field = line.querySelector(`[name="${CSS.escape(`${line.dataset.line}~${name}`)}"]`);
    const at = line.querySelector(`[data-wrong-of="${name}"]`) ?? line.querySelector(".state");
    field?.setAttribute("aria-invalid", "true");
    field?.closest("details")?.setAttribute("open", "");
    at.id ||= `state-${line.dataset.line}`;
    field?.setAttribute("aria-describedby", at.id);
    if (fresh && line.contains(document.activeElement)) at.scrollIntoView({ block: "nearest" });
  });
}

/** What looks wrong stands beside its line, with a button that puts what was probably meant; what no longer does goes. */
export function showWarned(form, warned) {
  form.querySelectorAll(".warnings").forEach((at) => {
    const line = at.closest("[data-line]");
    const found = warned[line.dataset.line] ?? [];
    const words = found.map((one) => one.said + (one.held ? ` ${HELD}` : ""));
    if (words.join() !== [...at.querySelectorAll("p")].map((one) => one.textContent).join()) at.replaceChildren(...found.map((one, n) => asked(one, words[n])));
    const keep = line.querySelector(".keep");
    const reason = keep.querySelector("input").value;
    keep.classList.toggle("shown", found.length > 0 || reason !== "");
    if (found.length > 0 && reason === "") line.dataset.questioned = found.some((one) => one.held) ? "held" : "asked";
    else delete line.dataset.questioned;
  });
}

function asked(one, words) {
  const box = said("", "warned", "div");
  box.append(said(words, "", "p"));
  if (!one.put) return box;
  const button = said(say("Put {figure}", { figure: one.put_said }), "button", "button");
  button.type = "button";
  button.dataset.put = one.put;
  box.append(button);
  return box;
}

export function showTold(page, answer) {
  page.querySelectorAll("[data-told]").forEach((span) => (span.textContent = answer.told));
  for (const asked of ["day", "hours"])
    page.querySelectorAll(`[data-${asked}-asked]`).forEach((box) => {
      box.hidden = !(box.querySelector("p").textContent = answer[`${asked}_asked`] ?? "");
    });
  showHours(page, answer);
}

/** What the meter showed before the day that stands there now, and what it is likely to show on it. */
function showHours(page, { last, likely }) {
  const before = page.querySelector("[data-last]");
  if (!before || last === undefined) return;
  before.textContent = last;
  before.closest("p").hidden = last === "";
  const offered = page.querySelector("[data-likely]");
  if (!offered) return;
  offered.hidden = !likely;
  if (!likely) return;
  const [said, button] = offered.children;
  said.textContent = likely.said;
  button.textContent = likely.put_said;
  button.dataset.put = likely.put;
  button.value = `head?${likely.put}`;
}

/** How every part stands, counted on the page itself: it is right without a signal too. */
export function showStanding(page, form) {
  const parts = partsOf(form);
  fillEnd(page);
  page.querySelectorAll("[data-left]").forEach((item) => {
    const left = leftOf(parts.get(item.dataset.left), say);
    item.hidden = left === "";
    item.querySelector("[data-left-said]").textContent = left;
  });
  page.querySelectorAll("[data-stood]").forEach((item) => {
    const said = lineOf(form, item.dataset.stood)?.querySelector("input[type=radio]:checked");
    item.hidden = Boolean(said) || parts.get(item.dataset.stood.split(":")[0]).looked;
  });
  page.querySelectorAll("[data-stands]").forEach((span) => (span.textContent = markOf(parts.get(span.dataset.stands), say)));
  const counts = countsOf([...parts.values()]);
  page.querySelectorAll("[data-count]").forEach((span) => (span.textContent = String(counts[span.dataset.count] + Number(span.dataset.also ?? 0))));
  page.querySelectorAll("[data-missing-count]").forEach((span) => (span.textContent = String(counts.unread)));
}

/** What is left of each part has a line at the end of the round: made from the list of all parts where the page came without. */
function fillEnd(page) {
  const list = page.querySelector("[data-left-list]");
  if (!list || list.querySelector("[data-left]")) return;
  page.querySelectorAll("[data-stands]").forEach((stands) => {
    const item = said("", "", "li");
    const left = said("", "soft");
    item.dataset.left = stands.dataset.stands;
    left.dataset.leftSaid = "";
    item.append(stands.previousElementSibling.cloneNode(true), " ", left);
    list.append(item);
  });
}

function partsOf(form) {
  const lines = new Map();
  form.querySelectorAll("[data-line]").forEach((line) => {
    const [place, what] = line.dataset.line.split(":");
    if (what) lines.set(place, [...(lines.get(place) ?? []), line]);
  });
  return new Map([...lines].map(([place, all]) => [place, standing(all)]));
}

function standing(lines) {
  const read = lines.filter((line) => line.querySelector("[data-box]"));
  const nothing = lines.map((line) => line.querySelector("[data-looked]")).find(Boolean);
  const labels = (wanted) => read.filter(wanted).map((line) => line.dataset.label);
  return {
    readings: read.length,
    unread: labels(isOpen),
    refused: labels((line) => line.hasAttribute("data-wrong")),
    held: labels((line) => line.dataset.questioned === "held"),
    asked: labels((line) => line.dataset.questioned === "asked"),
    seen: Boolean(nothing),
    looked: Boolean(nothing?.checked) || isAnythingSeen(lines),
  };
}

export function offerLettingGo(page, letGo) {
  const at = page.querySelector("[data-connection]");
  if (!at) return;
  const button = page.createElement("button");
  button.type = "button";
  button.className = "button";
  button.textContent = say("Drop it");
  button.addEventListener("click", () => {
    letGo();
    page.location.reload();
  });
  setTimeout(() => at.append(" ", button));
}

/** @returns {{key: string, name: string, href: string}[]} the figures the desk said it cannot use, as the page came with them */
export function unusableShown(page) {
  return [...page.querySelectorAll("[data-connection] [data-to]")].map((link) => ({ key: link.dataset.to, name: link.textContent, href: link.href }));
}

export function showConnection(page, state, unusable) {
  const at = page.querySelector("[data-connection]");
  if (!at) return;
  const saved = () => (state.waiting ? counted("{n} line to save", "{n} lines to save", state.waiting) : say("Everything is saved"));
  const words = {
    sending: () => say("Saving …"),
    saved,
    waiting: () =>
      counted(
        "No answer from the desk: {n} line not saved yet, kept in this phone. It tries again by itself.",
        "No answer from the desk: {n} lines not saved yet, kept in this phone. It tries again by itself.",
        state.waiting,
      ),
    out: () => counted("Sign in again: {n} line waits in this phone", "Sign in again: {n} lines wait in this phone", state.waiting),
    refused: () => say("Not saved: {why}", { why: state.refused.join(" ") }),
  };
  const cannot = state.kind === "saved" && unusable.length > 0;
  if (cannot) at.replaceChildren(...cannotBeSaved(unusable));
  else if (state.kind === "out") at.replaceChildren(Object.assign(said(words.out(), "", "a"), { href: page.location.pathname }));
  else at.textContent = words[state.kind]();
  at.classList.toggle("wrong-said", cannot || ["waiting", "out", "refused"].includes(state.kind));
}

function cannotBeSaved(unusable) {
  const links = unusable.flatMap((one, n) => {
    const link = said(one.name, "", "a");
    link.href = one.href;
    link.dataset.to = one.key;
    return n > 0 ? ["; ", link] : [link];
  });
  return [`${counted("{n} figure could not be saved:", "{n} figures could not be saved:", unusable.length)} `, ...links];
}
