/**
 * Lines waiting to be sent: one at a time, each line once, in the order they were changed. Pure: no page, no network.
 * A line stays until the server has said "saved"; what is refused is taken out and told beside its line.
 */
export class Outbox {
  /** @param parts send(key), onSaved(answer), onRefused(key, said), onState(state), wait(ms) */
  constructor(parts) {
    this.parts = parts;
    /** @type {string[]} */
    this.keys = [];
    this.busy = false;
    this.sending = null;
    this.tries = 0;
    this.wake = () => {};
    /** @type {((failed: boolean) => void)[]} */
    this.listening = [];
  }

  get waiting() {
    return new Set(this.keys).size;
  }

  /** @param {string} key */
  put(key) {
    if (!this.keys.includes(key) || (this.sending === key && this.keys.lastIndexOf(key) === 0)) this.keys.push(key);
    this.tries = 0;
    this.hurry();
    return this.run();
  }

  /** @param {string} key */
  has(key) {
    return this.keys.includes(key);
  }

  /** Resolves once none of these lines waits any more, or once the desk does not answer. */
  async gone(keys) {
    let failed = false;
    while (!failed && keys.some((key) => this.has(key))) failed = await new Promise((done) => this.listening.push(done));
  }

  tell(failed) {
    this.listening.splice(0).forEach((done) => done(failed));
  }

  hurry() {
    this.wake();
  }

  async run() {
    if (this.busy) return;
    this.busy = true;
    while (this.keys.length > 0) {
      this.parts.onState({ kind: "sending", waiting: this.waiting });
      this.sending = this.keys[0];
      const { done, answer, refused, isOut } = await this.parts.send(this.sending);
      this.sending = null;
      if (done) {
        const key = this.keys.shift();
        this.tries = 0;
        if (refused && this.parts.onRefused) this.parts.onRefused(key, refused);
        if (answer) this.parts.onSaved(answer);
        this.parts.onState(refused ? { kind: "refused", refused } : { kind: "saved", waiting: this.waiting });
        this.tell(false);
      } else {
        this.tries += 1;
        this.parts.onState({ kind: isOut ? "out" : "waiting", waiting: this.waiting });
        this.tell(true);
        const sooner = new Promise((wake) => (this.wake = wake));
        await Promise.race([this.parts.wait(backOff(this.tries)), sooner]);
      }
    }
    this.busy = false;
  }
}

/** Milliseconds to wait before another try: twice as long each time, half a minute at most. */
export function backOff(tries) {
  return Math.min(30000, 1000 * 2 ** (tries - 1));
}
