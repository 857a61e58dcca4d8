/* What waits on this phone, since when and why; what became of what went; the way out as a file. */
import { counted, say } from "../desk/say.js";
import { dayData, lastedSaid, moment } from "./days.js";
import { el } from "./el.js";
import { becameSaid, fileOf, kindSaid, waitsSaid } from "./records.js";
import { askToKeep, isLow, roomHere, sizeSaid } from "./room.js";

const SHOWN = 60;

export async function showWaiting(app) {
  const [waits, records, sent, names, met, room] = await Promise.all([
    app.store.waits(), app.store.all("records"), app.store.all("sent"), namesOf(app.store), app.store.read("own", "met"), roomHere(),
  ]);
  const nothing = records.length === 0;
  const status = el("div", { role: "status" });
  const connection = () => status.replaceChildren(...connectionSaid(app.sender.state, records).filter(Boolean));
  app.show(
    { title: nothing ? say("Nothing waits") : say("{what} waiting", { what: waitsSaid(waits) }), back: "", backSaid: say("Yard") },
    status,
    nothing ? null : el("ul.plain-list.waiting", {}, groupsOf(records, names)),
    nothing ? null : el("p.help", {}, say("Nothing is lost when you close this page or the phone goes off. A line is taken out only when the desk says it has it.")),
    el(
      "p.acts",
      {},
      el("button", { type: "button", onclick: () => app.sender.hurry() }, say("Try now")),
      nothing ? null : el("button.button", { type: "button", onclick: () => save(app, met) }, say("Save as a file")),
    ),
    nothing ? null : el("p.help", {}, say("The desk takes the file in under “What phones brought”, as often as you like, with the same result.")),
    becameOf(sent, names),
    el("h2", {}, say("This phone")),
    phoneOf(app, met, room),
  );
  connection();
  app.sender.addEventListener("state", connection);
  app.leaving(() => app.sender.removeEventListener("state", connection));
}

async function namesOf(store) {
  const [rounds, yard, local] = await Promise.all([store.all("rounds"), store.read("yard", "yard"), store.read("own", "machines")]);
  const machines = new Map([...(local ?? []), ...(yard?.machines ?? [])].map((one) => [one.id, one.name]));
  const bySheet = new Map(rounds.map((one) => [one.sheet, one.name]));
  return (about) => bySheet.get(about.sheet) ?? machines.get(about.machine) ?? about.name ?? say("A machine");
}

/** How it stands with the desk, in sentences. */
export function connectionSaid(state, records) {
  const n = records.length;
  const clock = state.clock && el("p.do", {}, say("This phone’s clock is {time} off the desk’s. Days and times you see here are this phone’s; the desk keeps its own beside them.", { time: lastedSaid(Math.abs(state.clock)) }));
  const older = state.older && el("p.do", {}, say("This desk is older than the app on this phone. What waits stays here until the desk is upgraded."));
  const said = {
    asking: () => [el("p", {}, say("Asking for the desk …"))],
    sending: () => [el("p", {}, say("Sending …"))],
    carrying: () => [el("p", {}, state.far ? say("Fetching machines: {n} of {of}", state.far) : say("Looking for what is new …"))],
    resting: () => [el("p", {}, n ? say("The desk answers.") : say("Everything has reached the desk."))],
    none: () => [
      el("p", {}, el("b", {}, say("No answer from the desk since {time}.", { time: moment(state.since) })), " ", say("Last tried {time}. It tries again by itself.", { time: moment(state.tried) })),
      el("p", {}, el("a", { href: "/" }, say("Open the desk’s own page, to see why"))),
    ],
    out: () => [
      el("p", {}, el("b", {}, state.said ?? say("The desk does not know this phone any more."))),
      el("p.acts", {}, el("a.button.main", { href: state.href ?? "/ask-in/" }, n ? counted("Sign in again, {n} thing waits", "Sign in again, {n} things wait", n) : say("Sign in again"))),
    ],
  };
  return [...said[state.kind](), clock, older];
}

function groupsOf(records, names) {
  const groups = new Map();
  records.forEach((one) => groups.set(names(one.about), [...(groups.get(names(one.about)) ?? []), one]));
  return [...groups].map(([name, all]) => {
    const photos = all.filter((one) => one.kind === "photo");
    const size = photos.reduce((sum, one) => sum + (one.file?.size ?? 0), 0);
    const stuck = all.filter((one) => one.stuck);
    return el(
      "li",
      {},
      el("p", {}, el("b", {}, name), " ", waitsSaid({ lines: all.length - photos.length, photos: photos.length })),
      el("p.soft", {}, say("since {time}", { time: moment(all[0].at) }), size ? ` · ${sizeSaid(size)}` : ""),
      stuck.map((one) => el("p.wrong-said", {}, say("{what}: the desk cannot take it as it is. {why}", { what: kindSaid(one.kind), why: one.stuck }))),
    );
  });
}

function becameOf(sent, names) {
  if (sent.length === 0) return null;
  const asks = sent.filter((one) => one.became !== "done");
  const row = (one) => el("li", {}, el("p", {}, el("b", {}, names(one.about)), " ", kindSaid(one.kind), ": ", becameSaid(one.became)), el("p.soft", {}, [one.said, moment(one.sent)].filter(Boolean).join(" · ")));
  return [
    el("h2", {}, say("What became of it")),
    asks.length > 0 && el("ul.plain-list", {}, asks.slice(-SHOWN).reverse().map(row)),
    el("details.fold", {}, el("summary", {}, counted("{n} thing sent", "{n} things sent", sent.length)), el("ul.plain-list", {}, sent.slice(-SHOWN).reverse().map(row))),
  ];
}

function phoneOf(app, met, { left, kept }) {
  const keep = async () => {
    await askToKeep();
    app.again();
  };
  const known = met?.phone ? say("{phone}, {person}", met) : (met?.person ?? say("Not met yet"));
  return [
    el("p", {}, known),
    met && el("p.soft", {}, say("The desk was last met {time}.", { time: moment(met.met) })),
    left !== null && el(isLow(left) ? "p.do" : "p", {}, say("By this browser’s word about {size} are free for what waits. A phone that is full says so before anything is lost.", { size: sizeSaid(left) })),
    kept
      ? el("p", {}, say("This phone promised to keep what waits."))
      : el("p", {}, say("This phone has not promised to keep what waits: put the app on the home screen, and open it from there."), " ", el("button.button", { type: "button", onclick: keep }, say("Ask it to"))),
    el("p", {}, el("button.button", { type: "button", onclick: () => forget(app) }, say("Forget the machines carried here"))),
    el("p.help", {}, say("For a phone that is handed on. What waits to be sent stays.")),
  ];
}

async function forget(app) {
  await app.keep(() => app.store.write(["yard", "parcels", "own"], async (ask) => {
    await ask("yard", "clear");
    await ask("parcels", "clear");
    await ask("own", "delete", "machines");
    return true;
  }));
  app.again();
}

/** The way out without a desk: handed to whatever the phone offers, else as a download. */
async function save(app, met) {
  const records = await app.store.all("records");
  const head = { phone: met?.phone ?? "", person: met?.person ?? "", saved: new Date().toISOString() };
  const file = new File(await fileOf(records, head, lettersOf), `pitchline-${dayData(new Date())}.jsonl`, { type: "application/x-ndjson" });
  const address = URL.createObjectURL(file);
  const link = el("a", { href: address, download: file.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

function lettersOf(blob) {
  return new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result.slice(reader.result.indexOf(",") + 1));
    reader.onerror = () => failed(reader.error);
    reader.readAsDataURL(blob);
  });
}
