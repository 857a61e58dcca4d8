/* Wires the parts: the store, the sender, the ways by what stands after # in the address. */
import { say } from "../desk/say.js";
import { carry } from "./carry.js";
import * as desk from "./desk.js";
import { el } from "./el.js";
import { showEnd, showHead } from "./end.js";
import { showBegin } from "./head.js";
import { showList } from "./list.js";
import { showMachine } from "./machine.js";
import { showMark } from "./mark.js";
import { showNew } from "./new.js";
import { showRound } from "./round.js";
import { aloneByLock, Sender } from "./sender.js";
import { NoRoom, openStore } from "./store.js";
import { watchVersions } from "./update.js";
import { showWaiting } from "./waiting.js";

const UPDATE_MS = 10 * 60 * 1000;
const view = document.querySelector("[data-view]");
const bars = document.querySelector("[data-bars]");

const WAYS = {
  "": (app) => showList(app),
  m: (app, id) => showMachine(app, id),
  b: (app, id) => showBegin(app, id),
  r: (app, sheet, ...at) => ({ end: showEnd, head: showHead })[at.join("/")]?.(app, sheet) ?? showRound(app, sheet, at.join("/")),
  new: (app) => showNew(app),
  waiting: (app) => showWaiting(app),
};

class App {
  left = async () => {};
  marked = () => {};
  waiting = 0;

  /** The page's title, with what waits before it: it is read in a list of pages, too. */
  titled(title = this.title) {
    this.title = title;
    document.title = `${this.waiting ? `(${this.waiting}) ` : ""}${title} · pitchline`;
  }

  /** @param {string} way what stands after #  @param {boolean} instead whether Back passes over where one was */
  go(way, instead = false) {
    if (`#${way}` === (location.hash || "#")) return this.again();
    if (instead) {
      history.replaceState({}, "", `#${way}`);
      return this.again();
    }
    location.hash = way;
  }

  async again() {
    const left = this.left;
    this.left = async () => {};
    await left();
    const [way, ...about] = decodeURI(location.hash.slice(1)).split("/");
    await (WAYS[way] ?? WAYS[""])(this, ...about);
  }

  /** A view with its title and its way back; the title is told to who cannot see it. */
  show({ title, back, backSaid }, ...inside) {
    const heading = el("h1", { tabindex: -1 }, title);
    view.replaceChildren(...[back !== undefined && trail(back, backSaid), heading, ...inside.flat(9)].filter(Boolean));
    this.titled(title);
    this.arrived(heading);
  }

  /** A view that brings its own title. */
  showBare({ title, back, backSaid }, ...inside) {
    view.replaceChildren(trail(back, backSaid), ...inside.flat(9).filter(Boolean));
    this.titled(title);
    this.marked();
    this.arrived(null);
  }

  arrived(heading) {
    if (this.hasArrived) {
      window.scrollTo(0, 0);
      heading?.focus({ preventScroll: true });
    }
    this.hasArrived = true;
  }

  leaving(then) {
    const before = this.left;
    this.left = async () => {
      await before();
      await then();
    };
  }

  /** @returns {Promise<unknown>} what was kept; null where it could not be, which is told */
  async keep(act) {
    try {
      const kept = await act();
      this.bar(null, "not kept");
      return kept ?? true;
    } catch (error) {
      if (error instanceof NoRoom) this.noRoom();
      else this.bar(say("Not kept: this phone did not write it. Reload this page; what you typed last may have to be typed again. ({why})", { why: error?.message ?? String(error) }), "not kept");
      return null;
    }
  }

  noRoom() {
    this.bar(say("Not kept: this phone is full. What was kept before is safe. Send what waits, or make room on the phone, then do this once more."), "not kept");
  }

  /** A line that stays in view until it is taken away or another of its kind comes. */
  bar(said, kind = "told") {
    bars.querySelector(`[data-bar="${kind}"]`)?.remove();
    if (said) bars.append(el("p.do", { "data-bar": kind }, said));
  }
}

function trail(back, said) {
  return el("nav.trail", { "aria-label": say("Way back") }, el("a", { href: `#${back}` }, said));
}

async function start() {
  const app = new App();
  app.store = await openStore();
  app.title = say("Yard");
  app.sender = new Sender(app.store, desk, aloneByLock, (told, tell) => carry(app.store, told, tell));
  addEventListener("hashchange", () => app.again());
  const closed = app.store.closeAll();
  await app.again();
  await closed;
  app.store.addEventListener("older", () => app.bar(say("Another page of the app is newer than this one: reload this page."), "older"));
  showMark(app);
  addEventListener("online", () => app.sender.hurry());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && app.sender.hurry());
  let looked = Date.now();
  let look = null;
  // Nothing waits for the worker: a network that stalls at its file must not hold up what is to be sent.
  const watched = watchVersions((said, kind) => app.bar(said, kind), () => app.store.underWay());
  watched.then((found) => (look = found));
  app.sender.addEventListener("state", () => {
    if (app.sender.state.kind !== "resting" || Date.now() - looked < UPDATE_MS) return;
    looked = Date.now();
    look?.();
  });
  refreshList(app);
  app.sender.run();
}

/** The list and the page of what waits follow what arrives while nobody types. */
function refreshList(app) {
  let was = "";
  app.sender.addEventListener("state", () => {
    const { kind, far } = app.sender.state;
    const settled = kind === "resting" && was !== "resting";
    was = kind;
    const isShown = ["", "#", "#waiting"].includes(location.hash);
    if (isShown && (settled || far?.n === 0) && !document.activeElement?.matches("input")) app.again();
  });
}

start().catch((error) => {
  view.replaceChildren(
    el("h1", {}, say("This browser keeps nothing")),
    el("p", {}, say("The app cannot open its store on this phone. A private window keeps nothing; open it in an ordinary one. ({why})", { why: error?.message ?? String(error) })),
  );
});
