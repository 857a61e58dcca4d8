/* node --test tests/js: figures the scripts write, in the marks of the business. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { marked } from "../../src/pitchline/desk/machine/static/machine/marked.js";

test("a figure is written in the marks it is given, and nothing else is touched", () => {
  assert.equal(marked("1,234,567.25", [",", "."]), "1,234,567.25");
  assert.equal(marked("1,234,567.25", [".", ","]), "1.234.567,25");
  assert.equal(marked("-12,345.5", ["\u202f", ","]), "-12\u202f345,5");
  assert.equal(marked("58", [".", ","]), "58");
});
