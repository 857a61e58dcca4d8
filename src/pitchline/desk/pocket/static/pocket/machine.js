/* One machine: what was found last, what to read and its limits, and the way into a walk-round. */
import { say } from "../desk/say.js";
import { carryOne } from "./carry.js";
import { daySaid } from "./days.js";
import { drawn, el, upFirst } from "./el.js";
import { goOn, roundSaid } from "./head.js";
import { callOf } from "./list.js";
import { photosOf } from "./photos.js";
import { howOf, sizesOf } from "./stage.js";

export async function showMachine(app, id) {
  const [kept, yard, rounds] = await Promise.all([app.store.read("parcels", id), app.store.read("yard", "yard"), app.store.all("rounds")]);
  const row = yard?.machines.find((one) => one.id === id);
  if (!kept) return showUnknown(app, id, row);
  const { parcel } = kept;
  const facts = [parcel.kind_said, parcel.customer, parcel.site, parcel.serial_number, parcel.owner_number].filter(Boolean).join(" · ");
  app.show(
    { title: parcel.name, back: "", backSaid: say("Yard") },
    el("p.soft", {}, facts),
    parcel.hours && el("p.soft", {}, parcel.hours_on ? say("{hours} h on {day}", { hours: parcel.hours, day: parcel.hours_on }) : say("{hours} h", { hours: parcel.hours })),
    ways(app, parcel, rounds.filter((one) => one.machine === id)),
    verdict(parcel),
    (parcel.cautions ?? []).map((text) => el("div.care", {}, el("p", {}, text))),
    el("h2", {}, say("What to read")),
    parcel.places.filter((place) => place.readings.length > 0).map((place) => toRead(place, parcel)),
    el("h2", {}, say("Photos")),
    photosOf(app, { machine: id, sheet: null, place: "" }, parcel.name),
  );
}

/** In the list, but its parcel has not come yet. */
function showUnknown(app, id, row) {
  if (!row) return app.go("");
  const told = el("p", { role: "status" }, say("Fetching it …"));
  app.show({ title: row.name, back: "", backSaid: say("Yard") }, el("p", {}, callOf(row.call, row.call_said), " ", row.headline), told);
  carryOne(app.store, row).then((came) => {
    if (came) return app.again();
    told.textContent = came === null ? say("This machine is not carried yet: the desk does not answer.") : say("This machine is gone from the desk, or put away there.");
  });
}

function ways(app, parcel, rounds) {
  const here = rounds.filter((one) => one.state === "draft").sort((one, other) => other.begun - one.begun);
  const draft = parcel.draft && !rounds.some((one) => one.sheet === parcel.draft.id) ? parcel.draft : null;
  const begun = draft && say("Begun by {by} on {day}.", { by: draft.by || say("somebody"), day: daySaid(draft.head.date) });
  return el(
    "div.begin",
    {},
    here.map((one) => el("p.acts", {}, el("a.button.main", { href: `#r/${one.sheet}` }, one.finished ? roundSaid(one) : say("Go on with the walk-round")), el("span.soft", {}, one.finished ? say("finished, waits to be sent") : roundSaid(one)))),
    draft && el("p.acts", {}, el("button", { type: "button", onclick: () => goOn(app, parcel) }, say("Go on with the walk-round")), el("span.soft", {}, begun)),
    el("p.acts", {}, el(here.length + (draft ? 1 : 0) ? "a.button" : "a.button.main", { href: `#b/${parcel.id}` }, here.length + (draft ? 1 : 0) ? say("Begin another") : say("Begin a walk-round"))),
  );
}

function verdict({ verdict: said, drawing }) {
  if (!said) return el("p", {}, say("Not judged yet."));
  const parts = said.parts.map((one) =>
    el(
      "li",
      {},
      el("p", {}, callOf(one.call, one.call_said), " ", el("b", {}, one.name), one.stake ? ` · ${one.stake}` : ""),
      el("p.soft", {}, [one.used, one.hours].filter(Boolean).join(" · ")),
      one.why && el("p.soft", {}, one.why),
    ),
  );
  return [
    el("p.looked", {}, upFirst(said.looked)),
    el("p.verdict", {}, said.call && callOf(said.call, said.call_said), said.call && " ", said.headline),
    el("p.soft", {}, said.of),
    drawing && el("div.drawing", {}, drawn(drawing)),
    el("details.fold", {}, el("summary", {}, say("Part by part")), el("ul.plain-list.parts-of", {}, parts)),
  ];
}

function toRead(place, parcel) {
  return el(
    "details.fold",
    {},
    el("summary", {}, place.name),
    place.readings.map((one) => el("div", {}, el("p", {}, el("b", {}, upFirst(one.label))), el("p.previous", {}, sizesOf(one, one.joints ?? "", parcel.unit)), howOf(one, place, parcel))),
  );
}
