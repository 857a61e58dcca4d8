/* node --test tests/js: a phone in the hand: a calliper that types, the screen that stays on. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { keepAwake } from "../../src/pitchline/desk/static/desk/awake.js";
import { Burst, figureOf, listen } from "../../src/pitchline/desk/static/desk/calliper.js";

test("what a device sends is a figure with its own mark, and the unit it says", () => {
  const read = (text) => Object.values(figureOf(text) ?? {}).join("|");
  assert.deepEqual(
    ["152.83", "152,83", "+0152.83", " 12.70mm", "0.5000in", '6.0175"', "-0.01", "147.8 MM"].map(read),
    ["152.83|", "152,83|", "152.83|", "12.70|mm", "0.5000|in", "6.0175|in", "-0.01|", "147.8|mm"],
  );
});

test("three decimals get a fourth, so that no desk takes them for thousands", () => {
  assert.deepEqual([figureOf("12.345").figure, figureOf("1,234 mm").figure, figureOf("12.34").figure], ["12.3450", "1,2340", "12.34"]);
});

test("anything else is no reading", () => {
  assert.deepEqual(["", "12", "leak", "12.3.4", "1e5", "12 13", "..."].map(figureOf), Array(7).fill(null));
});

/** @param {[string, number][]} keys each with the milliseconds since the one before */
function typed(keys) {
  const burst = new Burst();
  let at = 1000;
  return keys.map(([key, gap]) => burst.key(key, (at += gap))).at(-1);
}

test("a device is told from a hand by its pace, and its reading ends with Enter or Tab", () => {
  const keys = (gap, end) => [...[..."152.83"].map((key) => [key, gap]), [end, gap]];
  assert.equal(typed(keys(20, "Enter")).figure, "152.83");
  assert.equal(typed(keys(60, "Tab")).figure, "152.83");
  assert.equal(typed(keys(140, "Enter")), null);
});

test("a burst begins anew after a rest, and a slip of the hand is none of it", () => {
  assert.equal(typed([["7", 0], ["1", 500], ["2", 20], [".", 20], ["5", 20], ["Enter", 20]]).figure, "12.5");
  assert.equal(typed([["1", 0], ["2", 20], ["Backspace", 20], ["5", 20], ["Enter", 20]]), null);
  assert.equal(typed([["1", 0], ["Shift", 10], ["2", 10], [".", 10], ["5", 10], ["Enter", 10]]).figure, "12.5");
});

/** A page that hears keys, and a field on it into which they are typed as a browser would. */
function stage() {
  const heard = [];
  const came = [];
  listen({ addEventListener: (_, hear) => heard.push(hear) }, "[data-box]", (...all) => came.push(all));
  let at = 0;
  const press = (field, text, end) =>
    [...text, end].forEach((key) => {
      const event = { key, target: field, timeStamp: (at += 20), isStopped: false, preventDefault() { this.isStopped = true; }, stopPropagation() {} };
      heard.forEach((hear) => hear(event));
      if (!event.isStopped && key.length === 1 && "value" in field) {
        field.value = field.value.slice(0, field.selectionStart) + key + field.value.slice(field.selectionEnd);
        field.selectionStart = field.selectionEnd += 1;
      }
      press.stopped = event.isStopped;
    });
  const rest = () => (at += 5000);
  return { came, press, rest };
}

const field = (kind, value = "") => ({ value, selectionStart: value.length, selectionEnd: value.length, matches: (asked) => asked.includes(kind) });

test("a reading is given on with its field, which stands as before; what stood in it is said", () => {
  const { came, press, rest } = stage();
  const box = field("[data-box]");
  press(box, "147.83", "Enter");
  assert.deepEqual(came.pop(), ["147.83", "", box, false]);
  const full = field("[data-box]", "21.5");
  rest();
  press(full, "21.6", "Tab");
  assert.deepEqual([came.pop().slice(0, 4), full.value], [["21.6", "", full, true], "21.5"]);
  const chosen = { ...field("[data-box]", "21.5"), selectionStart: 0, selectionEnd: 4 };
  rest();
  press(chosen, "21.6", "Enter");
  assert.equal(came.pop()[3], false, "what is chosen whole is there to be replaced");
});

test("its Enter presses no button; a note keeps what was typed into it", () => {
  const { came, press, rest } = stage();
  const button = { matches: () => false };
  press(button, "147.83", "Enter");
  assert.deepEqual([came.pop(), press.stopped], [["147.83", "", null, false], true]);
  rest();
  press(field("input:not"), "147.83", "Enter");
  assert.deepEqual([came.length, press.stopped], [0, false]);
});

/** A page that can be hidden, and a phone that counts what it is asked. */
function phone(answer) {
  const hear = {};
  const page = { visibilityState: "visible", addEventListener: (name, what) => (hear[name] = what), removeEventListener: (name) => delete hear[name] };
  const asked = [];
  const request = async (kind) => {
    asked.push(kind);
    const lock = new EventTarget();
    lock.release = async () => lock.dispatchEvent(new Event("release"));
    return answer ? answer() : (asked.lock = lock);
  };
  const letGo = keepAwake(page, { wakeLock: { request } });
  return { page, hear, asked, letGo };
}

test("the screen is kept on from the first tap, and again when the page comes back", async () => {
  const { page, hear, asked } = phone();
  await hear.visibilitychange();
  assert.equal(asked.length, 0, "nothing is asked before a tap");
  await hear.click();
  await hear.click();
  assert.deepEqual([...asked], ["screen"]);
  page.visibilityState = "hidden";
  await asked.lock.release();
  await hear.visibilitychange();
  assert.equal(asked.length, 1);
  page.visibilityState = "visible";
  await hear.visibilitychange();
  assert.equal(asked.length, 2);
});

test("a phone that refuses is asked again at the next tap, and nobody hears of it", async () => {
  const { hear, asked } = phone(() => Promise.reject(new Error("battery low")));
  await hear.click();
  await hear.click();
  assert.equal(asked.length, 2);
  keepAwake({ addEventListener() {} }, {});
});

test("who leaves the round lets the screen go dark", async () => {
  const { hear, asked, letGo } = phone();
  await hear.click();
  let released = false;
  asked.lock.release = async () => (released = true);
  letGo();
  assert.deepEqual([released, hear], [true, {}]);
});
