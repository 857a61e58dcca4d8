/* node --test tests/js: the pure parts of a walk-round's scripts. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { rubbed } from "../../src/pitchline/desk/walkround/static/walkround/caret.js";
import { Outbox } from "../../src/pitchline/desk/walkround/static/walkround/outbox.js";
import { badOf } from "../../src/pitchline/desk/walkround/static/walkround/seen.js";
import { over } from "../../src/pitchline/desk/walkround/static/walkround/sizes.js";
import { say } from "../../src/pitchline/desk/static/desk/say.js";
import { countsOf, leftOf, markOf } from "../../src/pitchline/desk/walkround/static/walkround/standing.js";

const PART = { readings: 2, unread: [], refused: [], held: [], asked: [], seen: true, looked: true };

test("rub out takes what is chosen, else the letter before the caret, at the front the one after it", () => {
  assert.deepEqual(rubbed("1234", 1, 3), { text: "14", at: 1 });
  assert.deepEqual(rubbed("1234", 4, 4), { text: "123", at: 3 });
  assert.deepEqual(rubbed("1234", 2, 2), { text: "134", at: 1 });
  assert.deepEqual(rubbed("1234", 0, 0), { text: "234", at: 0 });
  assert.deepEqual(rubbed("", 0, 0), { text: "", at: 0 });
});

test("a size over joints keeps decimals and mark", () => {
  assert.equal(over(150.75, 4, "452.3"), "603.0");
  assert.equal(over(150.75, 2, "452,3"), "301,5");
  assert.equal(over(5.935, 4, "17.81"), "23.74");
});

test("how bad bolts are follows from their number", () => {
  assert.deepEqual([0, 1, 2, 3, 4, 1.5, NaN].map(badOf), ["", "slight", "clear", "clear", "severe", "", ""]);
});

test("what is left of a part, and how it stands", () => {
  assert.deepEqual([leftOf(PART, say), markOf(PART, say)], ["", "✓ done"]);
  const half = { ...PART, unread: ["sag"], looked: false };
  assert.deepEqual([leftOf(half, say), markOf(half, say)], ["sag: not read; not looked over", "1 of 2 read"]);
  const bad = { ...PART, refused: ["pitch"], held: ["sag"], asked: ["camber"] };
  assert.deepEqual([leftOf(bad, say), markOf(bad, say)], ["pitch: could not be saved; sag: held back until answered; camber: asked about, kept in the figures", "not saved"]);
  assert.equal(markOf({ ...PART, looked: false }, say), "read, not looked over");
  assert.equal(markOf({ ...PART, readings: 0, looked: false }, say), "not looked over");
  assert.deepEqual(countsOf([PART, half, bad]), { read: 4, unread: 1, refused: 1, questioned: 2, unlooked: 1 });
});

test("whoever waits for a line is told when it is gone, and when the desk does not answer", async () => {
  const answers = [{ done: false }, { done: true, answer: {} }];
  const outbox = new Outbox({ send: async () => answers.shift(), onSaved: () => {}, onState: () => {}, wait: async () => {} });
  outbox.put("a");
  assert.equal(outbox.has("a"), true);
  await outbox.gone(["a"]);
  assert.equal(outbox.has("a"), true);
  await outbox.gone(["a"]);
  assert.equal(outbox.has("a"), false);
});
