/* node --test tests/js: the pure part of moving a stop. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { say } from "../../src/pitchline/desk/static/desk/say.js";
import { at, hours, moved, place, said } from "../../src/pitchline/desk/workplan/static/workplan/spots.js";

test("a stop stays inside the plan", () => {
  assert.equal(moved(3, -5, 59), 0);
  assert.equal(moved(58, 5, 59), 59);
  assert.equal(moved(3, 1, 59), 4);
});

test("the ends of the rail are the first and the last step", () => {
  assert.equal(place(-0.2, 59), 0);
  assert.equal(place(0.5, 60), 30);
  assert.equal(place(1.7, 59), 59);
});

test("a spot is found by its step, and none is no error", () => {
  assert.deepEqual(at([{ step: 0 }, { step: 4 }], 4), { step: 4 });
  assert.equal(at([], 4), undefined);
});

test("a refusal is said with its reason, a cost with its amount", () => {
  assert.match(said(2, { said: "0 h", refused: "bushes, left: turned first." }, say), /cannot go to 0 h\. bushes/);
  assert.equal(said(1, { said: "900 h", more: "costs EUR 40 more" }, say), "Lay-up 1 in 900 h: the plan costs EUR 40 more.");
});

test("hours are read with or without a thousands mark", () => {
  for (const text of ["2600", "2,600", "2.600", "2 600 h", "2'600"]) assert.equal(hours(text), 2600);
  assert.equal(hours("612,5"), 612.5);
  assert.equal(hours("2,600.5"), 2600.5);
});
