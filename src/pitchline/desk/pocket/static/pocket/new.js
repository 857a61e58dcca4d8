/* A machine nobody entered yet: what can be told of it standing before it, so that a walk-round can begin at once. */
import { say } from "../desk/say.js";
import { el, upFirst } from "./el.js";

export async function showNew(app) {
  const yard = await app.store.read("yard", "yard");
  if (!yard?.blanks?.length) {
    return app.show({ title: say("Add a machine"), back: "", backSaid: say("Yard") }, el("p.lead", {}, say("What is asked of a new machine has not been fetched yet: the desk must answer once before.")));
  }
  const counts = el("div");
  const kinds = yard.kinds.filter(([code]) => yard.blanks.some((one) => one.kind === code));
  const blankOf = (form) => yard.blanks.find((one) => one.kind === form.kind.value && one.track === form.track.value) ?? yard.blanks.find((one) => one.kind === form.kind.value);
  const tracks = (kind) => yard.blanks.filter((one) => one.kind === kind);
  const fill = (form, ofKind) => {
    if (ofKind) form.track.replaceChildren(...tracks(form.kind.value).map((one) => el("option", { value: one.track }, one.track_said ?? upFirst(one.track))));
    counts.replaceChildren(...blankOf(form).counts.map(countField));
  };
  const suggestions = (id, names) => el("datalist", { id }, (names ?? []).map((name) => el("option", { value: name })));
  const form = el(
    "form.stack",
    { onsubmit: (event) => keep(app, yard, blankOf(event.target), event), autocomplete: "off" },
    field(say("Kind"), "kind", el("select", { id: "kind", name: "kind", onchange: (event) => fill(event.target.form, true) }, kinds.map(([code, label]) => el("option", { value: code }, label)))),
    field(say("Track"), "track", el("select", { id: "track", name: "track", onchange: (event) => fill(event.target.form, false) })),
    field(say("Name"), "name", el("input", { id: "name", name: "name", required: true, maxlength: 200 })),
    field(say("Hours on the meter"), "hours", el("input", { id: "hours", name: "hours", inputmode: "decimal", required: true })),
    field(say("Customer"), "customer", el("input", { id: "customer", name: "customer", list: "customers" })),
    field(say("Site"), "site", el("input", { id: "site", name: "site", list: "sites" })),
    suggestions("customers", yard.customers),
    suggestions("sites", yard.sites),
    el("fieldset.bare", {}, el("legend", {}, el("b", {}, say("Counted"))), counts),
    el("p.help", {}, say("Limits and sizes are entered at the desk; until then it can be read, but not judged.")),
    el("p.acts", {}, el("button", {}, say("Keep this machine"))),
  );
  app.show({ title: say("Add a machine"), back: "", backSaid: say("Yard") }, form);
  fill(form, true);
}

function field(label, id, input) {
  return el("div.field", {}, el("label", { for: id }, label), input);
}

function countField({ field: name, label, least, most, usual }) {
  return field(upFirst(label), `count-${name}`, el("input", { id: `count-${name}`, name: `count-${name}`, type: "number", min: least, max: most, value: usual, required: true, inputmode: "numeric" }));
}

/** Places there are by what was counted. */
export function placesOf(blank, counts) {
  return blank.places.filter(({ counted }) => !counted || Number(counts[counted[0]] ?? 0) >= counted[1]);
}

async function keep(app, yard, blank, event) {
  event.preventDefault();
  const typed = new FormData(event.target);
  const text = (name) => String(typed.get(name) ?? "").trim();
  const counts = Object.fromEntries(blank.counts.map(({ field: name }) => [name, Number(typed.get(`count-${name}`))]));
  const [kind, name, hours, customer, site] = ["kind", "name", "hours", "customer", "site"].map(text);
  const id = crypto.randomUUID();
  const [, kindSaid] = yard.kinds.find(([code]) => code === kind);
  const about = { machine: id, kind, name, hours, customer, site, track: blank.track, counts };
  const known = { id, name, kind, kind_said: kindSaid, customer, site, serial_number: "", owner_number: "" };
  const places = placesOf(blank, counts);
  const parcel = { ...known, shape: 1, unit: yard.unit ?? "mm", day: yard.day, hours, hours_on: "", cautions: [], verdict: null, drawing: "", route: null, draft: null, hows: yard.hows ?? {}, tools: yard.tools ?? [], severities: yard.severities ?? [], places };
  const row = { ...known, etag: "", call: "none", call_said: say("not judged"), headline: say("Added on this phone"), of: "", draft: false };
  const also = async (ask) => {
    await ask("parcels", "put", { id, parcel, local: true });
    await ask("own", "put", [row, ...((await ask("own", "get", "machines")) ?? [])], "machines");
  };
  if (!(await app.keep(() => app.store.add("machine", about, { also })))) return;
  app.sender.hurry();
  app.go(`m/${id}`);
}
