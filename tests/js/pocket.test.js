/* node --test tests/js: what waits on a phone is sent in order, once, and goes only when the desk has it. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { register } from "node:module";

/* As the desk serves them, scripts of all apps stand side by side; in the source each app has its own folder. */
const DESK = new URL("../../src/pitchline/desk/", import.meta.url).href;
const beside = `export function resolve(name, context, next) {
  const [, app, file] = /^\\.\\.\\/(desk|walkround)\\/(.+)$/.exec(name) ?? [];
  return app ? { url: "${DESK}" + (app === "desk" ? "static/desk/" : "walkround/static/walkround/") + file, shortCircuit: true } : next(name, context);
}`;
register(`data:text/javascript,${encodeURIComponent(beside)}`);
const of = (name) => import(`${DESK}pocket/static/pocket/${name}.js`);
const { wanted } = await of("carry");
const { markSaid } = await of("mark");
const { fileOf, isHeldBack, recordOf, sentAs, waitsSaid } = await of("records");
const { backOff, clockOff, Sender } = await of("sender");
const { besideOf, isDone, partOf } = await of("standing");

const KNOWN = { person: "Ann", phone: "Ann's phone", csrf: "x", now: new Date().toISOString(), day: "2026-11-30", shapes: [1], app: "a", yard: "y" };

/** A store in memory: what the sender asks of the real one. */
class Memory {
  constructor(records) {
    this.records = new Map(records.map((one) => [one.nth, one]));
    this.sent = [];
    this.stays = new Map();
  }
  write = async () => {};
  read = async (_, nth) => this.records.get(nth);
  order = async () => [...this.records.values()].sort((a, b) => (a.kind === "photo") - (b.kind === "photo") || a.nth - b.nth).map((one) => one.nth);
  takeOut = async (nth) => this.records.get(nth);
  stuck = async (nth, why) => this.stays.set(nth, why);
  done = async (record) => {
    this.records.delete(record.nth);
    this.sent.push(record.nth);
  };
}

const record = (nth, kind, about, more = {}) => ({ ...recordOf(kind, about, { nth, writer: "w" }), ...more });
const takes = async (one) => ({ status: 200, told: { id: one.id, became: "done" } });

async function run(records, send = takes, met = { status: 200, told: KNOWN }) {
  const store = new Memory(records);
  const asked = [];
  const desk = { hello: async () => met, send: (one, ...more) => (asked.push(one.nth), send(one, ...more)) };
  const sender = new Sender(store, desk, (act) => act());
  await sender.run();
  clearTimeout(sender.timer);
  return { store, sender, asked };
}

test("text goes in the order it was recorded, photos after", async () => {
  const { store, sender } = await run([record(1, "begin", { sheet: "s", machine: "m" }), record(2, "photo", { machine: "m", sheet: "s" }), record(3, "line", { sheet: "s" })]);
  assert.deepEqual(store.sent, [1, 3, 2]);
  assert.equal(sender.state.kind, "resting");
});

test("what is still being typed, and what comes after it, waits", async () => {
  const { store } = await run([record(1, "line", { sheet: "s" }), record(2, "line", { sheet: "s" }, { open: true }), record(3, "finish", { sheet: "s" })]);
  assert.deepEqual(store.sent, [1]);
});

test("no answer ends the series; what was not answered stays, and is tried again after twice as long", async () => {
  let n = 0;
  const { store, sender } = await run([record(1, "line", { sheet: "s" }), record(2, "line", { sheet: "s" })], async (one) => (n++ ? { status: 0 } : takes(one)));
  assert.deepEqual([store.sent, [...store.records.keys()], sender.state.kind, sender.tries], [[1], [2], "none", 1]);
  assert.deepEqual([1, 2, 3, 6, 9].map(backOff), [1000, 2000, 4000, 30000, 30000]);
});

test("an answer to another record is none", async () => {
  const { store } = await run([record(1, "line", { sheet: "s" })], async () => ({ status: 200, told: { id: "other", became: "done" } }));
  assert.deepEqual(store.sent, []);
});

test("what the desk does not take stays with its reason, and so does what rests on it; the rest goes", async () => {
  const begin = record(1, "begin", { sheet: "s", machine: "m" });
  const records = [begin, record(2, "line", { sheet: "s" }), record(3, "line", { sheet: "other" })];
  const { store, asked } = await run(records, async (one) => (one.nth === 1 ? { status: 422, told: { why: "not understood", said: "No." } } : takes(one)));
  assert.deepEqual([store.sent, [...store.stays], asked], [[3], [[1, "No."]], [1, 3]]);
  const kinds = (stuck) => ["line", "photo", "finish"].map((kind) => isHeldBack(record(9, kind, { sheet: "s" }), [stuck]));
  assert.deepEqual([kinds(begin), kinds(records[1])], [[true, true, true], [false, false, true]]);
});

test("a new machine holds back its walk-round until the desk has it", async () => {
  const machine = record(1, "machine", { machine: "m", kind: "excavator" });
  const begin = record(2, "begin", { sheet: "s", machine: "m" });
  assert.ok(isHeldBack(begin, [machine]));
  const { store, asked } = await run([machine, begin, record(3, "line", { sheet: "s" })], async () => ({ status: 422, told: { said: "No." } }));
  assert.deepEqual([asked, [...store.records.keys()]], [[1], [1, 2, 3]]);
});

test("who is signed out loses nothing, and a desk that is older takes nothing", async () => {
  const out = await run([record(1, "line", { sheet: "s" })], takes, { status: 401, told: { why: "put out", href: "/ask-in/", said: "Out." } });
  assert.deepEqual([out.sender.state.kind, out.sender.state.said, out.asked], ["out", "Out.", []]);
  const older = await run([record(1, "line", { sheet: "s" })], takes, { status: 200, told: { ...KNOWN, shapes: [0] } });
  assert.deepEqual([older.sender.state.older, older.asked], [true, []]);
});

test("a clock is told only where it is off by more than five minutes", () => {
  const now = Date.parse("2026-11-30T10:00:00Z");
  assert.deepEqual([clockOff(now, "2026-11-30T10:04:00Z"), clockOff(now, "2026-11-30T11:00:00Z")], [0, -3600000]);
});

test("nothing but the record goes to the desk, and to the file", async () => {
  const one = record(7, "photo", { photo: "p", machine: "m", sheet: null, place: "", caption: "" }, { file: "blob", owner: "m", of: "m", tried: true, stuck: "x" });
  assert.deepEqual(Object.keys(sentAs(one)), ["id", "shape", "nth", "at", "writer", "person", "kind", "about"]);
  assert.match(one.at, /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/);
  const lines = (await fileOf([one], { phone: "P", person: "Ann", saved: "now" }, async () => "AAA")).map((line) => JSON.parse(line));
  assert.deepEqual(lines, [{ pitchline_pocket: 1, phone: "P", person: "Ann", saved: "now" }, { ...sentAs(one), file: "AAA" }]);
});

test("the mark says what waits, and that nobody answers", () => {
  assert.deepEqual([waitsSaid({ lines: 13, photos: 1 }), waitsSaid({ lines: 0, photos: 2 }), waitsSaid({ lines: 0, photos: 0 })], ["13 lines, 1 photo", "2 photos", ""]);
  assert.deepEqual([markSaid("none", { lines: 1, photos: 0 }), markSaid("resting", { lines: 0, photos: 0 })], ["no signal · 1 waiting", "nothing waits"]);
});

test("machines whose parcel is another than the list says are fetched, those being walked round first", () => {
  const rows = [{ id: "a", etag: "1" }, { id: "b", etag: "2" }, { id: "c", etag: "3", draft: true }];
  assert.deepEqual(wanted(rows, { a: "1", b: "1" }).map((one) => one.id), ["c", "b"]);
});

test("a part is done when all of it is read or told out of reach, nothing is held back, and it was looked over", () => {
  const place = { readings: [{ key: "p:x", label: "x" }, { key: "p:y", label: "y" }], seen: [{ key: "p:leak" }], looked: "p:nothing" };
  const lines = { "p:x": { fields: { 1: "5" } }, "p:y": { fields: { 1: "", out: "cannot be reached" } }, "p:nothing": { fields: { looked: "looked" } } };
  assert.ok(isDone(partOf(place, lines, {})));
  const doubted = { "p:x": { said: "", doubts: [{ said: "Slip?", held: true, put: { 1: "50" }, put_said: "50 mm" }] } };
  assert.deepEqual(partOf(place, lines, doubted).held, ["x"]);
  assert.ok(!isDone(partOf(place, lines, doubted)));
  assert.equal(besideOf(lines["p:x"], doubted["p:x"]).warned[0].put, "1=50");
});

test("what the desk said of a figure stands before what the table says", () => {
  const told = { warned: [], problem: "No number.", aside: false };
  assert.deepEqual(besideOf({ fields: {}, told }, { said: "about 5 % used", doubts: [{ said: "?", held: false, put: null }] }), { said: "about 5 % used", problem: "No number.", aside: "", warned: [] });
});
