/* Walking round: one part at a time, every touch kept at once, nothing asked of the desk on the way. */
import { say } from "../desk/say.js";
import { fieldsOf, lineOf, putBack } from "../walkround/form.js";
import { markOf } from "../walkround/standing.js";
import { keepAwake } from "../desk/awake.js";
import { drawn, el } from "./el.js";
import { frameHere } from "./frame.js";
import { photosOf } from "./photos.js";
import { saidBy, stageOf } from "./stage.js";
import { answersOf, besideOf, firstLeft, isDone, partOf } from "./standing.js";

export async function showRound(app, sheet, wantedKey) {
  const round = await app.store.read("rounds", sheet);
  const parcel = round && (await app.store.read("parcels", round.machine))?.parcel;
  if (!parcel) return app.go("");
  if (round.state !== "draft" || round.finished) return app.go(`r/${sheet}/end`, true);
  const keyed = (key) => parcel.places.find((one) => one.key === key);
  const place = keyed(wantedKey) ?? keyed(round.at) ?? firstLeft(parcel.places, round.lines, answersOf(parcel, round.lines));
  new Walk(app, round, parcel, place).start();
}

class Walk {
  constructor(app, round, parcel, place) {
    Object.assign(this, { app, round, parcel, place, places: parcel.places, frame: frameHere(), waiting: new Map() });
  }

  start() {
    const { bar, form, all, keys } = this.frame;
    this.frame.walk = this;
    this.route = this.parcel.route ? drawn(this.parcel.route.svg) : null;
    this.frame.route.replaceChildren(...[this.route].filter(Boolean));
    this.app.showBare({ title: this.round.name, back: `m/${this.round.machine}`, backSaid: this.round.name }, bar, form, all, keys);
    this.display();
    this.frame.start();
    this.frame.clearBar(); // after the keys stand there: what is measured sooner is laid out twice
    const letGoDark = keepAwake();
    this.app.store.addEventListener("changed", this.learn);
    addEventListener("pagehide", this.hide);
    this.app.leaving(async () => {
      letGoDark();
      this.frame.lamp?.putOut();
      this.app.store.removeEventListener("changed", this.learn);
      removeEventListener("pagehide", this.hide);
      document.documentElement.classList.remove("keys-open", "at-end");
      this.frame.walk = null;
      await this.settle();
    });
  }

  hide = () => this.settle();

  go(by) {
    const next = this.places[this.places.indexOf(this.place) + by];
    if (next) this.to(next, by);
    else this.app.go(by > 0 ? `r/${this.round.sheet}/end` : `r/${this.round.sheet}/head`);
  }

  async to(place, way) {
    const settled = this.settle();
    this.place = place;
    history.pushState({}, "", `#r/${this.round.sheet}/${place.key}`);
    this.display();
    window.scrollTo(0, 0);
    this.frame.title.focus({ preventScroll: true });
    this.frame.arrived(way);
    this.frame.clearBar();
    this.round.at = place.key;
    await settled;
    await this.app.store.write(["rounds"], async (ask) => {
      const round = await ask("rounds", "get", this.round.sheet);
      if (round) await ask("rounds", "put", { ...round, at: place.key });
    });
  }

  display() {
    const { number, title, back, on, stages, photos } = this.frame;
    const n = this.places.indexOf(this.place);
    const about = { machine: this.round.machine, sheet: this.round.sheet, place: this.place.key };
    stages.replaceChildren(stageOf(this.place, this.round.lines, this.parcel, this.round.unit));
    number.textContent = say("Part {n} of {last}", { n: n + 1, last: this.places.length });
    title.textContent = this.place.name;
    this.app.titled(this.place.name);
    back.textContent = this.places[n - 1]?.name ?? say("Day, hours, who");
    on.textContent = this.places[n + 1]?.name ?? say("Still to do");
    photos.replaceChildren(photosOf(this.app, about, this.place.name, this.frame.lamp));
    stages.querySelectorAll("[data-tool]").forEach((one) => this.offerTool(one));
    this.mark();
    this.look();
  }

  /** A line nobody has read yet begins with the tool used last for the same quantity. */
  offerTool(select) {
    const { line: key } = select.closest("[data-line]").dataset;
    const tool = localStorage.getItem(`tool ${key.split(":")[1]}`);
    if (!this.round.lines[key] && tool && [...select.options].some((one) => one.value === tool)) select.value = tool;
  }

  /** @param {boolean} open whether somebody may go on typing: then it is kept, but not sent yet */
  typed(key, open) {
    const line = lineOf(this.frame.form, key);
    if (!line) return;
    const fields = saidBy(fieldsOf(line));
    this.round.lines[key] = { v: this.round.lines[key]?.v ?? 0, fields };
    this.look();
    this.waiting.set(key, { fields, open });
    this.open = open ? key : null;
    this.write();
  }

  /** Kept one after the other; several touches while one is being written become one. */
  write() {
    this.writing ??= this.writeAll().finally(() => (this.writing = null));
    return this.writing;
  }

  async writeAll() {
    while (this.waiting.size > 0) {
      const [[key, { fields, open }]] = this.waiting;
      this.waiting.delete(key);
      const kept = await this.app.keep(() => this.app.store.keepLine(this.round.sheet, key, fields, open));
      if (!kept) return;
      if (!this.waiting.has(key)) this.stand(key, say("kept in this phone"));
      if (!open) this.app.sender.hurry();
    }
  }

  /** What is being typed is typed to its end when one leaves the part. */
  settle() {
    const key = this.open;
    this.open = null;
    if (key) this.waiting.set(key, { fields: this.round.lines[key].fields, open: false });
    return this.write();
  }

  /** What the table says of everything that is read: one figure may throw a light on another. */
  look() {
    this.answers = answersOf(this.parcel, this.round.lines);
    this.place.readings.forEach((one) => this.freshen(one.key));
    const done = this.places.filter((one) => isDone(partOf(one, this.round.lines, this.answers))).length;
    this.frame.far.textContent = say("{n} done", { n: done });
    this.fillAll();
  }

  freshen(key) {
    const line = lineOf(this.frame.form, key);
    if (!line) return;
    const written = this.round.lines[key];
    const { said, warned, problem, aside } = besideOf(written, this.answers[key]);
    line.toggleAttribute("data-wrong", Boolean(problem));
    const told = [problem && el("span.wrong-said", {}, problem), said && el("span.used", {}, said), aside && el("span.wrong-said", {}, aside)].filter(Boolean);
    const state = line.querySelector(".state");
    const kept = state.querySelector(".kept");
    if (told.map((one) => one.textContent).join() !== [...state.children].filter((one) => one !== kept).map((one) => one.textContent).join())
      state.replaceChildren(...told, ...[kept].filter(Boolean));
    showWarned(line, warned, written?.fields.keep ?? "");
  }

  /** Where a line is, beside it. */
  stand(key, text) {
    const state = lineOf(this.frame.form, key)?.querySelector(".state");
    if (!state || state.querySelector(".kept")?.textContent === text) return;
    state.querySelector(".kept")?.remove();
    state.append(el("span.kept", {}, text));
  }

  /** What the desk, or another tab, has said meanwhile; whoever types is not disturbed. */
  learn = async () => {
    const fresh = await this.app.store.read("rounds", this.round.sheet);
    if (!fresh || this.writing || this.frame.walk !== this) return;
    if (fresh.finished) return this.app.go(`r/${this.round.sheet}/end`);
    for (const [key, line] of Object.entries(fresh.lines)) {
      if (this.waiting.has(key) || JSON.stringify(line) === JSON.stringify(this.round.lines[key])) continue;
      const isSame = JSON.stringify(line.fields) === JSON.stringify(this.round.lines[key]?.fields);
      this.round.lines[key] = line;
      if (!isSame) this.putIn(key, line.fields);
      if (line.told && !line.nth) this.stand(key, say("✓ at the desk"));
    }
    this.look();
  };

  /** What another tab wrote, unless somebody types here. */
  putIn(key, fields) {
    const line = lineOf(this.frame.form, key);
    if (line && !line.contains(document.activeElement)) putBack(line, Object.entries(fields).map(([short, value]) => [`${key}~${short}`, value]));
  }

  mark() {
    const spot = this.parcel.route?.spots[this.place.key];
    if (!this.route) return;
    this.route.querySelectorAll("[data-side]").forEach((side) => side.classList.toggle("away-side", side.dataset.side !== spot?.side));
    this.route.querySelectorAll(".at").forEach((shape) => shape.classList.remove("at"));
    this.route.toggleAttribute("data-away", !spot);
    if (!spot) return;
    if (spot.name) this.route.querySelectorAll(`[data-side="${spot.side}"] [data-spot="${spot.name}"]`).forEach((shape) => shape.classList.add("at"));
    this.route.querySelector("[data-here]")?.setAttribute("transform", `translate(${spot.x} ${spot.y})`);
  }

  fillAll() {
    const { all } = this.frame;
    if (!all.open) return;
    const jump = (place) => (event) => {
      event.preventDefault();
      this.to(place, 0);
    };
    const rows = this.places.map((place) =>
      el(
        "li",
        {},
        el("a", { href: `#r/${this.round.sheet}/${place.key}`, onclick: jump(place) }, place.name),
        " ",
        el("span.soft", {}, markOf(partOf(place, this.round.lines, this.answers), say)),
      ),
    );
    const end = el("li", {}, el("a", { href: `#r/${this.round.sheet}/end` }, say("Still to do")));
    all.replaceChildren(all.querySelector("summary"), el("ul.columns", {}, rows, end));
  }
}

function showWarned(line, warned, reason) {
  const at = line.querySelector(".warnings");
  if (!at) return;
  const held = say("Held back until it is corrected, or kept with a reason.");
  const boxes = warned.map((one) =>
    el(
      "div.warned",
      {},
      el("p", {}, one.held ? `${one.said} ${held}` : one.said),
      one.put && el("button.button", { type: "button", "data-put": one.put }, say("Put {figure}", { figure: one.put_said })),
    ),
  );
  if (boxes.map((one) => one.textContent).join() !== [...at.children].map((one) => one.textContent).join()) at.replaceChildren(...boxes);
  line.querySelector(".keep").classList.toggle("shown", warned.length > 0 || reason !== "");
  if (warned.length > 0 && reason === "") line.dataset.questioned = warned.some((one) => one.held) ? "held" : "asked";
  else delete line.dataset.questioned;
}
