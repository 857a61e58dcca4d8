/* node --test tests/js: what is kept in the browser until the desk has acknowledged it, and one line to the desk. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { saysTheSame } from "../../src/pitchline/desk/walkround/static/walkround/form.js";
import { backOff, Outbox } from "../../src/pitchline/desk/walkround/static/walkround/outbox.js";
import { send } from "../../src/pitchline/desk/walkround/static/walkround/sync.js";
import { Fleeting, Unsent } from "../../src/pitchline/desk/walkround/static/walkround/unsent.js";

const FIELDS = [["a~1", "57.4"], ["a~tool", "calliper"]];

test("a line typed comes back after a reload, each sheet's by itself", () => {
  const store = new Fleeting();
  assert.equal(new Unsent("one", store).put("a", FIELDS), true);
  assert.deepEqual(new Unsent("one", store).fields("a"), FIELDS);
  assert.deepEqual(new Unsent("one", store).keys(), ["a"]);
  assert.deepEqual(new Unsent("other", store).keys(), []);
});

test("a line is let go only when exactly this was saved", () => {
  const unsent = new Unsent("one", new Fleeting());
  unsent.put("a", FIELDS);
  unsent.done("a", [["a~1", "57.3"]]);
  assert.deepEqual(unsent.fields("a"), FIELDS);
  unsent.done("a", FIELDS);
  assert.equal(unsent.fields("a"), null);
});

test("one browser is one writer of a sheet for good", () => {
  const store = new Fleeting();
  assert.equal(new Unsent("one", store).writer("first"), "first");
  assert.equal(new Unsent("one", store).writer("second"), "first");
  assert.deepEqual(new Unsent("one", store).keys(), []);
});

test("a browser that keeps nothing says so, and what is damaged is nothing", () => {
  const full = new Fleeting();
  full.setItem = () => { throw new Error("quota"); };
  assert.equal(new Unsent("one", full).put("a", FIELDS), false);
  assert.equal(new Unsent("one", full).writer("me"), "me");
  const damaged = new Fleeting();
  damaged.setItem("walk-round one a", "{");
  assert.equal(new Unsent("one", damaged).fields("a"), null);
});

test("two lines say the same whatever version they were read at", () => {
  assert.equal(saysTheSame([["a~1", "57.4"], ["a~v", "1"]], [["a~1", "57.4"], ["a~v", "2"]]), true);
  assert.equal(saysTheSame([["a~1", "57.4"]], [["a~1", "57.5"]]), false);
});

const network = globalThis.fetch;
afterEach(() => { globalThis.fetch = network; });

function answering(status, body, kind = "application/json") {
  globalThis.fetch = async () => new Response(JSON.stringify(body), { status, headers: { "Content-Type": kind } });
}

test("saved only where the desk says which lines; refused only where it says why", async () => {
  answering(200, { lines: [] });
  assert.deepEqual(await send("/save/", FIELDS), { done: true, answer: { lines: [] } });
  answering(400, { problems: ["no"] });
  assert.deepEqual(await send("/save/", FIELDS), { done: true, refused: ["no"] });
});

test("anything else is no answer: a sign-in page, an error, half an answer, no network", async () => {
  answering(200, { lines: [] }, "text/html");
  assert.deepEqual(await send("/save/", FIELDS), { done: false });
  answering(500, { problems: ["no"] });
  assert.deepEqual(await send("/save/", FIELDS), { done: false });
  answering(200, { said: "all well" });
  assert.deepEqual(await send("/save/", FIELDS), { done: false });
  globalThis.fetch = async () => { throw new TypeError("Failed to fetch"); };
  assert.deepEqual(await send("/save/", FIELDS), { done: false });
});

test("who is signed out is told so, and not that the desk does not answer", async () => {
  globalThis.fetch = async () => ({ type: "opaqueredirect", status: 0 });
  assert.deepEqual(await send("/save/", FIELDS), { done: false, isOut: true });
  answering(403, {}, "text/html");
  const states = [];
  const box = new Outbox({ send: () => send("/save/", FIELDS), onSaved: () => {}, onState: ({ kind }) => states.push(kind), wait: () => new Promise(() => {}) });
  box.put("a");
  await new Promise((done) => setTimeout(done, 5));
  assert.deepEqual(states, ["sending", "out"]);
});

test("a line typed again while it is sent is sent again, another one once", async () => {
  const sent = [];
  const answers = [];
  const box = new Outbox({
    send: (key) => { sent.push(key); return new Promise((done) => answers.push(done)); },
    onSaved: () => {}, onState: () => {}, wait: () => Promise.resolve(),
  });
  box.put("a");
  box.put("b");
  box.put("b");
  box.put("a");
  for (let turn = 0; turn < 3; turn += 1) {
    answers.shift()({ done: true, answer: {} });
    await new Promise((done) => setImmediate(done));
  }
  assert.deepEqual(sent, ["a", "b", "a"]);
  assert.equal(box.waiting, 0);
});

test("waits twice as long each time, half a minute at most", () => {
  assert.deepEqual([1, 2, 3, 6, 20].map(backOff), [1000, 2000, 4000, 30000, 30000]);
});
