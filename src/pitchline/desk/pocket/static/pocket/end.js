/* The end of a walk-round: what is left, and finishing it. */
import { counted, say } from "../desk/say.js";
import { leftOf } from "../walkround/standing.js";
import { el, upFirst } from "./el.js";
import { roundSaid } from "./head.js";
import { answersOf, partOf } from "./standing.js";

export async function showEnd(app, sheet) {
  const round = await app.store.read("rounds", sheet);
  const parcel = round && (await app.store.read("parcels", round.machine))?.parcel;
  if (!parcel) return app.go("");
  const about = { title: say("Still to do"), back: `m/${round.machine}`, backSaid: round.name };
  if (round.state !== "draft" || round.finished) {
    app.show({ ...about, title: roundSaid(round) }, finished(app, round));
    return followed(app, round);
  }
  const answers = answersOf(parcel, round.lines);
  const left = parcel.places.map((place) => [place, leftOf(partOf(place, round.lines, answers), say)]).filter(([, said]) => said);
  const list = left.map(([place, said]) => el("li", {}, el("a", { href: `#r/${sheet}/${place.key}` }, place.name), " ", el("span.soft", {}, upFirst(said))));
  app.show(
    about,
    el("p", {}, left.length ? counted("Something is left on {n} part.", "Something is left on {n} parts.", left.length) : say("Nothing is left to do.")),
    el("ul.plain-list", {}, list),
    el("p.help", {}, say("What is not read has no call. It can be read on the next walk-round.")),
    el(
      "p.acts.sticky",
      {},
      el("a.button", { href: `#r/${sheet}/${parcel.places[parcel.places.length - 1].key}` }, say("← Part before")),
      el("button", { type: "button", onclick: () => finish(app, sheet, false) }, say("Finish")),
    ),
  );
}

async function finish(app, sheet, right) {
  const about = right ? { sheet, right } : { sheet };
  const also = async (ask) => ask("rounds", "put", { ...(await ask("rounds", "get", sheet)), finished: true, state: "draft", answered: "" });
  if (await app.keep(() => app.store.add("finish", about, { also }))) {
    app.sender.hurry();
    app.again();
  }
}

/** What the desk says of it is shown when it comes. */
function followed(app, { sheet, state, answered }) {
  const learn = async () => {
    const fresh = await app.store.read("rounds", sheet);
    if (fresh && (fresh.state !== state || fresh.answered !== answered)) app.again();
  };
  app.store.addEventListener("changed", learn);
  app.leaving(() => app.store.removeEventListener("changed", learn));
}

function finished(app, round) {
  if (round.state === "finished") return [el("p.lead", {}, say("Finished, and at the desk."), " ", round.answered)];
  if (round.answered)
    return [
      el("p.do", { role: "status" }, round.answered),
      el(
        "p.acts",
        {},
        round.became === "questioned" && el("button", { type: "button", onclick: () => finish(app, round.sheet, true) }, say("It is right: finish")),
        el("button.button", { type: "button", onclick: () => reopen(app, round.sheet) }, say("Go on with it")),
      ),
    ];
  return [el("p.lead", {}, say("Finished on this phone. It is judged when the desk has it, by the desk.")), el("p", {}, el("a", { href: "#waiting" }, say("What waits to be sent")))];
}

async function reopen(app, sheet) {
  await app.keep(() =>
    app.store.write(["rounds"], async (ask) => {
      const round = await ask("rounds", "get", sheet);
      await ask("rounds", "put", { ...round, finished: false, answered: "", state: "draft" });
      return true;
    }),
  );
  app.go(`r/${sheet}/head`);
}

/** Day, hours and who of a walk-round under way, to be put right. */
export async function showHead(app, sheet) {
  const round = await app.store.read("rounds", sheet);
  if (!round) return app.go("");
  const now = { date: round.date, hours: round.hours, by: round.by, unit: round.unit, ...round.lines.head?.fields };
  const field = (label, name, about) => el("div.field", {}, el("label", { for: name }, label), el("input", { id: name, name, value: now[name], ...about }));
  const save = async (event) => {
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(event.target));
    const kept = await app.keep(async () => {
      await app.store.keepLine(sheet, "head", fields, false);
      await app.store.write(["rounds"], async (ask) => ask("rounds", "put", { ...(await ask("rounds", "get", sheet)), ...fields }));
      return true;
    });
    if (!kept) return;
    app.sender.hurry();
    app.go(`r/${sheet}`);
  };
  const unit = (value) => el("option", { value, selected: now.unit === value }, value);
  const told = round.lines.head?.told?.problem;
  app.show(
    { title: say("Day, hours, who"), back: `m/${round.machine}`, backSaid: round.name },
    told && el("p.wrong-said", {}, told),
    el(
      "form.stack",
      { onsubmit: save, autocomplete: "off" },
      field(say("Day"), "date", { type: "date", required: true }),
      field(say("Hours on the meter"), "hours", { inputmode: "decimal", required: true }),
      field(say("Who goes round"), "by", {}),
      el("div.field", {}, el("label", { for: "unit" }, say("Sizes typed in")), el("select", { id: "unit", name: "unit" }, unit("mm"), unit("in"))),
      el("p.acts", {}, el("button", {}, say("On to the parts"))),
    ),
  );
}

