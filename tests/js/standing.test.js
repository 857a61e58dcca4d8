/* node --test tests/js: how a part stands; the same table of cases that tests/desk/walkround/test_standing_rule.py runs. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { say } from "../../src/pitchline/desk/static/desk/say.js";
import { leftOf, markOf } from "../../src/pitchline/desk/walkround/static/walkround/standing.js";

const CASES = JSON.parse(readFileSync(new URL("../data/standing.json", import.meta.url), "utf8"));

function partOf({ readings, seen, looked }) {
  const labels = (how) => readings.map((each, at) => (each === how ? "abc"[at] : "")).filter(Boolean);
  return {
    readings: readings.length, seen, looked,
    unread: labels(""), refused: labels("refused"), held: labels("held"), asked: labels("asked"),
  };
}

CASES.forEach(({ part, left, stands }, number) => {
  test(`case ${number + 1} of how a part stands: ${stands}`, () => {
    assert.equal(leftOf(partOf(part), say), left);
    assert.equal(markOf(partOf(part), say), stands);
  });
});
