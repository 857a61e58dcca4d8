/* Before a walk-round: day, hours, who. And what makes a round of it, begun here or at the desk. */
import { say } from "../desk/say.js";
import { dayData, daySaid } from "./days.js";
import { el } from "./el.js";
import { askToKeep } from "./room.js";

/** The day by this phone's clock, put right by what the desk said when it was last met. */
async function dayHere(store) {
  const met = await store.read("own", "met");
  return dayData(new Date(Date.now() - (met?.clock ?? 0)));
}

export async function showBegin(app, id) {
  const parcel = (await app.store.read("parcels", id))?.parcel;
  if (!parcel) return app.go(`m/${id}`);
  const met = await app.store.read("own", "met");
  const field = (label, about, help) => el("div.field", {}, el("label", { for: about.id }, label), el("input", about), help && el("p.help", {}, help));
  const last = parcel.hours && (parcel.hours_on ? say("Last time {hours}, on {day}.", { hours: parcel.hours, day: parcel.hours_on }) : say("Last time {hours}.", { hours: parcel.hours }));
  const form = el(
    "form.stack",
    { onsubmit: (event) => begin(app, parcel, event), autocomplete: "off" },
    field(say("Day"), { id: "date", name: "date", type: "date", value: await dayHere(app.store), required: true }),
    field(say("Hours on the meter"), { id: "hours", name: "hours", inputmode: "decimal", required: true }, last),
    field(say("Who goes round"), { id: "by", name: "by", value: met?.person ?? "", autocomplete: "name" }),
    el("p.acts", {}, el("button", {}, say("Begin"))),
  );
  app.show({ title: say("Walk-round of {machine}", { machine: parcel.name }), back: `m/${id}`, backSaid: parcel.name }, form);
}

async function begin(app, parcel, event) {
  event.preventDefault();
  askToKeep();
  const { date, hours, by } = Object.fromEntries(new FormData(event.target));
  const sheet = crypto.randomUUID();
  const round = { sheet, machine: parcel.id, name: parcel.name, date, hours, by, unit: parcel.unit, lines: {}, state: "draft", begun: Date.now(), photos: [] };
  await app.keep(() => app.store.add("begin", { sheet, machine: parcel.id, date, hours, by }, { also: (ask) => ask("rounds", "put", round) }));
  app.go(`r/${sheet}`);
}

/** A walk-round that was begun elsewhere goes on here: nothing is written by that. */
export async function goOn(app, parcel) {
  askToKeep();
  const { id, head, lines } = parcel.draft;
  if (!(await app.store.read("rounds", id))) {
    const kept = Object.fromEntries(Object.entries(lines).map(([key, line]) => [key, { v: line.v, fields: line.fields }]));
    const round = { sheet: id, machine: parcel.id, name: parcel.name, ...head, unit: head.unit ?? parcel.unit, lines: kept, state: "draft", begun: Date.now(), photos: [] };
    await app.keep(() => app.store.write(["rounds"], (ask) => ask("rounds", "put", round)));
  }
  app.go(`r/${id}`);
}

export function roundSaid(round) {
  return say("Walk-round of {day}", { day: daySaid(round.date) });
}
