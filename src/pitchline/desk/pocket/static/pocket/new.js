/* A machine nobody entered yet: what can be told of it standing before it, so that a walk-round can begin at once. */
import { say } from "../desk/say.js";
import { askedOf, roundOf, tracksOf } from "./blank.js";
import { el, upFirst } from "./el.js";

const COUNT = "count-";

export async function showNew(app) {
  const yard = await app.store.read("yard", "yard");
  const about = { title: say("Add a machine"), back: "", backSaid: say("Yard") };
  if (!yard?.blanks?.tracks) {
    app.show(about, el("p.lead", {}, say("What is asked of a new machine has not been fetched yet: the desk must answer once before.")));
    return whenFetched(app);
  }
  const counts = el("div");
  const fill = ({ kind, track }) => counts.replaceChildren(...askedOf(yard.blanks, kind.value, track.value).map(countField));
  const choice = (name, options) =>
    el("select", { id: name, name, onchange: (event) => fill(event.target.form) }, options.map(([code, label]) => el("option", { value: code }, upFirst(label))));
  const suggestions = (id, names) => el("datalist", { id }, (names ?? []).map((name) => el("option", { value: name })));
  const form = el(
    "form.stack",
    { onsubmit: (event) => keep(app, yard, event), autocomplete: "off" },
    field(say("Kind"), "kind", choice("kind", yard.kinds)),
    field(say("Track"), "track", choice("track", tracksOf(yard.blanks))),
    field(say("Name"), "name", el("input", { id: "name", name: "name", required: true, maxlength: 200 })),
    field(say("Hours on the meter"), "hours", el("input", { id: "hours", name: "hours", inputmode: "decimal", required: true })),
    field(say("Customer"), "customer", el("input", { id: "customer", name: "customer", list: "customers" })),
    field(say("Site"), "site", el("input", { id: "site", name: "site", list: "sites" })),
    suggestions("customers", yard.customers),
    suggestions("sites", yard.sites),
    el("fieldset.bare.counted-in", {}, el("legend", {}, say("Counted and chosen")), counts),
    el("p.help", {}, say("Limits and sizes are entered at the desk; until then it can be read, but not judged.")),
    el("p.acts", {}, el("button", {}, say("Keep this machine"))),
  );
  app.show(about, form);
  fill(form);
}

/** The form comes by itself with the yard. */
function whenFetched(app) {
  const learn = async () => (await app.store.read("yard", "yard"))?.blanks?.tracks && app.again();
  app.store.addEventListener("changed", learn);
  app.leaving(() => app.store.removeEventListener("changed", learn));
}

function field(label, id, input, help = "") {
  return el("div.field", {}, el("label", { for: id }, label), input, help && el("p.help", { id: `${id}-help` }, help));
}

function countField({ field: name, label, help, must, usual, least, most, choices }) {
  const id = COUNT + name;
  const about = { id, name: id, "aria-describedby": help ? `${id}-help` : false };
  const text = must ? upFirst(label) : say("{what} (may be left out)", { what: upFirst(label) });
  if (choices) return field(text, id, el("select", about, choices.map(([value, said]) => el("option", { value, selected: value === usual }, said))), help);
  const whole = least === undefined ? { inputmode: "text" } : { inputmode: "numeric", type: "number", min: least, max: most };
  return field(text, id, el("input", { ...about, ...whole, value: usual ?? "" }), help);
}

async function keep(app, yard, event) {
  event.preventDefault();
  const typed = Object.fromEntries([...new FormData(event.target)].map(([name, text]) => [name, String(text).trim()]));
  const counts = Object.fromEntries(Object.entries(typed).filter(([name, text]) => name.startsWith(COUNT) && text).map(([name, text]) => [name.slice(COUNT.length), text]));
  const { kind, track, name, hours, customer, site } = typed;
  const id = crypto.randomUUID();
  const [, kindSaid] = yard.kinds.find(([code]) => code === kind);
  const known = { id, name, kind, kind_said: kindSaid, customer, site, serial_number: "", owner_number: "" };
  const found = { hours, hours_on: "", cautions: yard.cautions ?? [], severities: yard.severities ?? [], verdict: null, drawing: "", route: null, draft: null };
  const parcel = { shape: 1, day: yard.day, ...known, ...found, ...roundOf(yard.blanks, track, counts) };
  const row = { ...known, etag: "", call: "none", call_said: say("not judged"), headline: say("Added on this phone"), of: "", draft: false };
  const also = async (ask) => {
    await ask("parcels", "put", { id, parcel });
    await ask("own", "put", [row, ...((await ask("own", "get", "machines")) ?? [])], "machines");
  };
  if (!(await app.keep(() => app.store.add("machine", { machine: id, kind, name, hours, customer, site, track, counts }, { also })))) return;
  app.sender.hurry();
  app.go(`m/${id}`);
}
