/* The yard as the phone carries it: each machine with its last call, what waits of it, and rounds under way. */
import { counted, say } from "../desk/say.js";
import { daySaid } from "./days.js";
import { el } from "./el.js";
import { roundSaid } from "./head.js";

const plain = (text) => text.toLowerCase().normalize("NFD").replace(/\p{M}/gu, "");

/** Rows that have every word somebody looks for. */
export function found(rows, text) {
  const words = plain(text).split(/\s+/).filter(Boolean);
  if (words.length === 0) return rows;
  return rows.filter((row) => {
    const hay = plain([row.name, row.kind_said, row.customer, row.site, row.serial_number, row.owner_number, row.call_said].filter(Boolean).join(" "));
    return words.every((word) => hay.includes(word));
  });
}

export function callOf(code, said) {
  return el(`span.call.${code && code !== "none" ? code : "unjudged"}`, {}, el("i", { "aria-hidden": "true" }), said);
}

export async function showList(app) {
  const [yard, open, local, carried] = await Promise.all([
    app.store.read("yard", "yard"), app.store.underWay(), app.store.read("own", "machines"), app.store.read("yard", "carried"),
  ]);
  const rows = [...(local ?? []).filter((one) => !yard?.machines.some((row) => row.id === one.id)), ...(yard?.machines ?? [])];
  const list = el("ul.plain-list.machines");
  const carrying = el("p.help");
  const said = el("p.help", { role: "status" });
  const fill = (text) => {
    const shown = found(rows, text);
    list.replaceChildren();
    fillOn(list, shown.map((row) => () => rowOf(row)));
    said.textContent = shown.length === rows.length ? counted("{n} machine", "{n} machines", rows.length) : say("{n} of {of} machines", { n: shown.length, of: rows.length });
  };
  const waits = new Map();
  const rowOf = (row) => {
    const n = waits.get(row.id);
    return el(
      "li",
      { "data-machine": row.id },
      el("p", {}, el("a", { href: `#m/${row.id}` }, el("b", {}, row.name)), " ", el("span.soft", {}, [row.kind_said, row.customer, row.site].filter(Boolean).join(" · "))),
      el("p", {}, callOf(row.call, row.call_said), row.headline && " · ", el("span.soft", {}, row.headline)),
      row.draft && el("p.soft", {}, say("A walk-round is under way.")),
      n && el("p", {}, el("span.wait-mark", {}, counted("{n} waits to be sent", "{n} wait to be sent", n))),
    );
  };
  app.show(
    { title: say("Yard") },
    open.length > 0 &&
      el(
        "section.do",
        { "aria-label": say("Under way on this phone") },
        open.map((one) => el("p", {}, el("a.button", { href: `#r/${one.sheet}` }, say("Go on: {machine}", { machine: one.name })), " ", el("span.soft", {}, roundSaid(one)))),
      ),
    yard || rows.length > 0 ? null : el("p.lead", {}, say("Nothing is carried yet. Once the desk answers, the whole yard is fetched by itself.")),
    el(
      "div.search",
      { role: "search" },
      el("div.field.wide", {}, el("label", { for: "text" }, say("Search")), el("input", { id: "text", type: "search", autocomplete: "off", oninput: (event) => fill(event.target.value) })),
      el("a.button", { href: "#new" }, say("Add a machine")),
    ),
    said,
    carrying,
    list,
    yard && el("p.help", {}, say("As the desk had it on {day}.", { day: daySaid(yard.day) })),
  );
  const far = () => (carrying.textContent = farSaid(app.sender.state, yard, carried));
  app.sender.addEventListener("state", far);
  app.leaving(() => app.sender.removeEventListener("state", far));
  far();
  fill("");
  for (const [id, n] of await app.store.waitingByMachine()) waits.set(id, n);
  if (waits.size > 0) fill(document.getElementById("text")?.value ?? "");
}

const AT_ONCE = 30;

/** A list that is longer than a screen grows while one looks at it: what is typed is heard in between. */
function fillOn(list, makers) {
  clearTimeout(list.filling);
  list.append(...makers.slice(0, AT_ONCE).map((make) => make()));
  if (makers.length > AT_ONCE) list.filling = setTimeout(() => fillOn(list, makers.slice(AT_ONCE)));
}

/** How many machines open without a signal. */
function farSaid(state, yard, carried) {
  if (!yard?.machines.length) return "";
  const n = state.far ? state.far.n : yard.machines.filter((row) => carried?.[row.id]).length;
  if (n >= yard.machines.length) return say("All of them open without a signal.");
  return say("{n} of {of} open without a signal so far.", { n, of: yard.machines.length });
}
