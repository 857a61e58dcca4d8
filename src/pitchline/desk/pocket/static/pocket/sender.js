/* Sends what waits: in order, each record once by its id, one sender on the phone; a record goes only when the desk has answered. */
import { isHeldBack, sentAs, SHAPE } from "./records.js";

const MOST_WAIT_MS = 30000;
const CLOCK_MS = 5 * 60 * 1000;

/** Milliseconds before another try: twice as long each time, half a minute at most. */
export function backOff(tries) {
  return Math.min(MOST_WAIT_MS, 1000 * 2 ** (tries - 1));
}

/** @returns {number} by how much the phone's clock is off [ms]; 0 where by so little that nobody need know */
export function clockOff(now, desks) {
  const off = now - Date.parse(desks);
  return Math.abs(off) > CLOCK_MS ? off : 0;
}

export class Sender extends EventTarget {
  /**
   * @param {import("./store.js").Store} store
   * @param {{hello: Function, send: Function}} desk
   * @param {(act: () => Promise<void>) => Promise<void>} alone runs where no other tab sends
   * @param {(told: object) => Promise<void>} then what is fetched once everything is sent
   */
  constructor(store, desk, alone, then = async () => {}) {
    super();
    Object.assign(this, { store, desk, alone, then, tries: 0, timer: 0 });
    /** kind: "asking", "sending", "carrying", "resting", "none" (no answer), "out" (not let in); since: when it became so */
    this.state = { kind: "asking", since: Date.now() };
  }

  tell(kind, more = {}) {
    const { since, person, phone } = this.state;
    this.state = { person, phone, ...more, kind, since: kind === this.state.kind ? since : Date.now(), tried: Date.now() };
    this.dispatchEvent(new Event("state"));
  }

  /** Tries at once. */
  hurry() {
    clearTimeout(this.timer);
    return this.run();
  }

  async run() {
    if (this.running) return (this.again = true);
    this.running = true;
    try {
      do {
        this.again = false;
        await this.alone(() => this.series());
      } while (this.again && this.state.kind === "resting");
    } catch (error) {
      this.tell("none", { why: String(error) });
    } finally {
      this.running = false;
    }
    this.tries = this.state.kind === "none" ? this.tries + 1 : 0;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.run(), this.tries ? backOff(this.tries) : MOST_WAIT_MS);
  }

  async series() {
    const met = await this.desk.hello();
    if (met.status === 401) return this.tell("out", met.told);
    if (met.status !== 200) return this.tell("none");
    const { person, phone, csrf, now, shapes, app, day } = met.told;
    const known = { person, phone, app, day, clock: clockOff(Date.now(), now), older: !shapes.includes(SHAPE) };
    await this.store.write(["own"], (put) => put("own", "put", { person, phone, day, clock: known.clock, met: Date.now() }, "met"));
    if (known.older) return this.tell("resting", known);
    this.tell("sending", known);
    if (!(await this.sendAll(csrf))) return;
    this.tell("carrying", known);
    await this.then(met.told, (far) => this.tell("carrying", { ...known, far }));
    this.tell("resting", known);
  }

  /** @returns {Promise<boolean>} whether the desk answered to the end */
  async sendAll(csrf) {
    const stuck = [];
    let sent;
    do {
      sent = 0;
      for (const nth of await this.store.order()) {
        const found = await this.sendOne(nth, csrf, stuck);
        if (found === null) return false;
        if (found === "wait") break;
        sent += found ? 1 : 0;
      }
    } while (sent > 0);
    return true;
  }

  /** @returns {Promise<boolean | null | "wait">} whether it went; null where the desk does not answer; "wait" where it is still being typed */
  async sendOne(nth, csrf, stuck) {
    const standing = await this.store.read("records", nth);
    if (!standing) return false;
    if (standing.open) return "wait";
    if (isHeldBack(standing, stuck)) {
      stays(stuck, standing);
      return false;
    }
    const record = await this.store.takeOut(nth);
    if (!record) return false;
    const { status, told } = await this.desk.send(sentAs(record), record.file, csrf);
    if (status === 200 && told?.id === record.id) {
      await this.store.done(record, told);
      return true;
    }
    if (status === 401) {
      this.tell("out", told);
      return null;
    }
    if (status === 409 || status === 413 || status === 422) {
      stays(stuck, record);
      await this.store.stuck(nth, told?.said ?? told?.why ?? String(status));
      return false;
    }
    this.tell("none");
    return null;
  }
}

function stays(stuck, { nth, kind, about }) {
  if (!stuck.some((one) => one.nth === nth)) stuck.push({ nth, kind, about });
}

/** One sender on the phone: where another tab sends, this one rests. */
export function aloneByLock(act) {
  if (!navigator.locks) return act();
  return navigator.locks.request("pocket sender", { ifAvailable: true }, (lock) => (lock ? act() : undefined));
}
