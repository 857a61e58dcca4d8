/* node --test tests/js: what the app tells on a page of elements that only hold what is put into them. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { register } from "node:module";

const DESK = new URL("../../src/pitchline/desk/", import.meta.url).href;
const beside = `export function resolve(name, context, next) {
  const [, app, file] = /^\\.\\.\\/(desk|walkround)\\/(.+)$/.exec(name) ?? [];
  return app ? { url: "${DESK}" + (app === "desk" ? "static/desk/" : "walkround/static/walkround/") + file, shortCircuit: true } : next(name, context);
}`;
register(`data:text/javascript,${encodeURIComponent(beside)}`);
const of = (name) => import(`${DESK}pocket/static/pocket/${name}.js`);

/** As much of an element as `el.js` asks. */
class Made extends EventTarget {
  constructor(tag) {
    super();
    Object.assign(this, { tag, inside: [], said: {} });
  }
  setAttribute = (name, value) => (this.said[name] = value);
  append = (...more) => this.inside.push(...more);
  get textContent() {
    return this.inside.map((one) => one?.textContent ?? String(one)).join("");
  }
  all = (tag) => this.inside.flatMap((one) => (one instanceof Made ? [...(one.tag === tag ? [one] : []), ...one.all(tag)] : []));
}
globalThis.document = { createElement: (tag) => new Made(tag), getElementById: () => null, documentElement: { lang: "en", dataset: {} } };

const { connectionSaid } = await of("waiting");
const { putOnIcon } = await of("mark");
const { watchVersions } = await of("update");
const { moment, daySaid } = await of("days");
const { mayLight, Torch } = await import(`${DESK}static/desk/torch.js`);

/** A browser with a worker, a new version of which waits. */
function worker() {
  const workers = new EventTarget();
  const told = [];
  const waiting = { postMessage: (said) => told.push(said) };
  const registration = Object.assign(new EventTarget(), { waiting, installing: null, update: async () => told.push("looked") });
  Object.assign(workers, { controller: {}, register: async () => registration });
  return { workers, told, registration };
}

test("a new version waits while any walk-round is under way, is offered after that, and takes over on a tap alone", async () => {
  const { workers, told } = worker();
  const page = new EventTarget();
  const [bars, reloads] = [[], []];
  Object.defineProperty(globalThis, "navigator", { value: { serviceWorker: workers }, configurable: true });
  globalThis.addEventListener = (...about) => page.addEventListener(...about);
  globalThis.location = { reload: () => reloads.push(1) };
  let open = [{ name: "Larch" }];
  const look = await watchVersions((said) => bars.push(said), async () => open);
  assert.match(String(bars.at(-1)), /waits until the walk-round of Larch is finished/);
  workers.dispatchEvent(new Event("controllerchange"));
  assert.deepEqual([reloads, told], [[], []]);
  open = [];
  page.dispatchEvent(new Event("hashchange"));
  await Promise.resolve();
  await Promise.resolve();
  const [button] = bars.at(-1).filter((one) => one instanceof Made);
  assert.equal(button.textContent, "Put it in place");
  button.dispatchEvent(new Event("click"));
  workers.dispatchEvent(new Event("controllerchange"));
  await look();
  assert.deepEqual([told, reloads], [["take over", "looked"], [1]]);
});

test("a phone that does not trust the desk, and a way that keeps nothing, are told why", async () => {
  const refused = { serviceWorker: { register: async () => { throw Object.assign(new Error(), { name: "SecurityError" }); }, addEventListener() {} } };
  for (const [phone, said] of [[refused, /does not trust the desk’s certificate/], [{}, /keeps nothing for a place without a signal/]]) {
    Object.defineProperty(globalThis, "navigator", { value: phone, configurable: true });
    const bars = [];
    await watchVersions((text) => bars.push(text), async () => []);
    assert.match(bars.join(), said);
  }
});

test("a wrong clock, an older desk and being signed out are told with what waits", () => {
  const said = (state, n) => connectionSaid({ since: 0, tried: 0, ...state }, Array(n).fill({})).filter(Boolean).map((one) => one.textContent).join(" ");
  assert.match(said({ kind: "resting", clock: -3600000 }, 3), /The desk answers\. This phone’s clock is 60 minutes off the desk’s/);
  assert.match(said({ kind: "resting", clock: 13 * 3600000 }, 0), /clock is 13 hours off/);
  assert.match(said({ kind: "resting", clock: 3 * 86400000 }, 0), /clock is 3 days off/);
  assert.match(said({ kind: "resting", older: true }, 3), /This desk is older than the app on this phone\. What waits stays here/);
  assert.match(said({ kind: "out", said: "This phone was put out." }, 41), /This phone was put out\. Sign in again, 41 things wait/);
  assert.doesNotMatch(said({ kind: "resting" }, 0), /clock|older/);
});

test("days and hours are written by hand, by this phone's clock", () => {
  const noon = new Date(2026, 10, 3, 9, 5);
  assert.deepEqual([moment(noon), daySaid("2026-11-30"), daySaid("soon")], ["3 Nov 2026, 09:05", "30 Nov 2026", "soon"]);
  const now = new Date();
  assert.match(moment(now), /^\d\d:\d\d$/);
});

test("the icon counts what waits, where the phone has such a mark", () => {
  const said = [];
  const phone = { setAppBadge: async (n) => said.push(n), clearAppBadge: async () => said.push("none") };
  putOnIcon(12, phone);
  putOnIcon(0, phone);
  putOnIcon(3, {});
  assert.deepEqual(said, [12, "none"]);
});

/** A camera with or without a lamp, given or not. */
function camera({ lamp = true, given = true } = {}) {
  const track = Object.assign(new EventTarget(), { asked: [], stopped: 0, getCapabilities: () => (lamp ? { torch: true } : {}), stop() { this.stopped += 1; } });
  track.applyConstraints = async (asked) => track.asked.push(asked);
  const getUserMedia = async () => {
    if (!given) throw new Error("not allowed");
    return { getVideoTracks: () => [track] };
  };
  return { track, devices: { getUserMedia, getSupportedConstraints: () => ({ torch: true }) } };
}

test("the light holds the camera while it burns, and lets go of it when it is put out or taken away", async () => {
  const { track, devices } = camera();
  const seen = [];
  const torch = new Torch(() => seen.push(torch.burns), devices);
  assert.equal(await torch.light(), "lit");
  assert.deepEqual([track.asked, seen], [[{ advanced: [{ torch: true }] }], [true]]);
  torch.putOut();
  torch.putOut();
  assert.deepEqual([track.stopped, seen], [1, [true, false]]);
  await torch.light();
  track.dispatchEvent(new Event("ended"));
  assert.equal(torch.burns, false);
});

test("a camera without a lamp is let go of at once, and one that is not given is told apart", async () => {
  const without = camera({ lamp: false });
  assert.deepEqual([await new Torch(() => {}, without.devices).light(), without.track.stopped], ["none", 1]);
  assert.equal(await new Torch(() => {}, camera({ given: false }).devices).light(), "refused");
  assert.deepEqual([mayLight(without.devices), mayLight({ getSupportedConstraints: () => ({}) }), mayLight(undefined)], [true, false, false]);
});
