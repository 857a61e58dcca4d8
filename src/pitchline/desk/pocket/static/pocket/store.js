/* IndexedDB and nothing else. Every write is one strict transaction; who waits for it hears "kept" on `complete`, never before. */
import { recordOf, wholeSeconds } from "./records.js";

const NAME = "pitchline";
const MOST_SENT = 500;
const STORES = {
  yard: {},
  parcels: { keyPath: "id" },
  records: { keyPath: "nth" },
  sent: { keyPath: "n", autoIncrement: true },
  rounds: { keyPath: "sheet" },
  own: {},
};

/** The one thing that can go wrong with a phone that is full: told in a sentence by whoever shows it. */
export class NoRoom extends Error {}

function answerOf(request) {
  return new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
}

export function openStore(name = NAME) {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(name, 1);
    asked.onupgradeneeded = () => {
      Object.entries(STORES).forEach(([store, about]) => asked.result.createObjectStore(store, about));
      const records = asked.transaction.objectStore("records");
      ["kind", "owner", "of"].forEach((index) => records.createIndex(index, index));
    };
    asked.onsuccess = () => done(new Store(asked.result));
    asked.onerror = () => failed(asked.error);
  });
}

export class Store extends EventTarget {
  /** @param {IDBDatabase} db */
  constructor(db) {
    super();
    this.db = db;
    db.onversionchange = () => {
      db.close();
      this.dispatchEvent(new Event("older"));
    };
    this.others = "BroadcastChannel" in globalThis ? new BroadcastChannel("pocket") : null;
    if (this.others) this.others.onmessage = () => this.dispatchEvent(new Event("changed"));
  }

  read(store, key) {
    return answerOf(this.db.transaction(store).objectStore(store).get(key));
  }

  all(store) {
    return answerOf(this.db.transaction(store).objectStore(store).getAll());
  }

  /**
   * One transaction: all of it or nothing. `work` gets the stores by name and may wait for nothing but their answers.
   * @returns {Promise<unknown>} what `work` gave, once all of it lies on the disk
   */
  write(names, work) {
    return new Promise((done, failed) => {
      const under = this.db.transaction(names, "readwrite", { durability: "strict" });
      const stores = Object.fromEntries(names.map((name) => [name, under.objectStore(name)]));
      const ask = (store, what, ...about) => answerOf(stores[store][what](...about));
      let given;
      let wrong = null;
      work(ask).then(
        (found) => (given = found),
        (error) => {
          wrong = error;
          try {
            under.abort();
          } catch {
            failed(error);
          }
        },
      );
      under.oncomplete = () => {
        this.changed();
        done(given);
      };
      under.onabort = () => {
        const error = under.error ?? wrong;
        failed(error?.name === "QuotaExceededError" ? new NoRoom() : error);
      };
    });
  }

  changed() {
    this.dispatchEvent(new Event("changed"));
    this.others?.postMessage("changed");
  }

  /** Photos that wait, of a machine or of a part on a walk-round. */
  photosOf(about) {
    return answerOf(this.db.transaction("records").objectStore("records").index("of").getAll(ofWhat(about)));
  }

  /** @returns {Promise<Map<string, number>>} how much waits of each machine, without reading any of it */
  async waitingByMachine() {
    const owners = this.db.transaction("records").objectStore("records").index("owner");
    const found = new Map();
    await new Promise((done, failed) => {
      const asked = owners.openKeyCursor(null, "nextunique");
      asked.onerror = () => failed(asked.error);
      asked.onsuccess = () => {
        if (!asked.result) return done();
        found.set(asked.result.key, 0);
        asked.result.continue();
      };
    });
    await Promise.all([...found.keys()].map(async (owner) => found.set(owner, await answerOf(owners.count(owner)))));
    return found;
  }

  /** Walk-rounds begun on this phone and not finished, the newest first. */
  async underWay() {
    const open = (await this.all("rounds")).filter((one) => one.state === "draft" && !one.finished);
    return open.sort((one, other) => other.begun - one.begun);
  }

  async waits() {
    const records = this.db.transaction("records").objectStore("records");
    const [all, photos] = await Promise.all([answerOf(records.count()), answerOf(records.index("kind").count("photo"))]);
    return { lines: all - photos, photos };
  }

  /** Numbers of what waits, in the order of sending: text first, photos after. */
  async order() {
    const records = this.db.transaction("records").objectStore("records");
    const [all, photos] = await Promise.all([answerOf(records.getAllKeys()), answerOf(records.index("kind").getAllKeys("photo"))]);
    const taken = new Set(photos);
    return [...all.filter((nth) => !taken.has(nth)), ...photos];
  }

  /** Keeps one more record, and whatever `also` writes beside it, together. */
  add(kind, about, { file = null, also = async () => {} } = {}) {
    return this.write(["own", "records", "rounds", "parcels"], async (ask) => {
      const record = await added(ask, kind, about, file ? { file } : {});
      await also(ask, record);
      return record;
    });
  }

  /**
   * Keeps a line as typed. As long as nothing of it was sent, what is typed on takes its place; after that it is a record of its own.
   * @param {boolean} open whether somebody is still typing: then it is not sent yet
   */
  keepLine(sheet, key, fields, open) {
    return this.write(["own", "records", "rounds"], async (ask) => {
      const round = await ask("rounds", "get", sheet);
      const line = round.lines[key] ?? { v: 0 };
      const waiting = line.nth ? await ask("records", "get", line.nth) : null;
      if (waiting && !waiting.tried) {
        Object.assign(waiting, { about: { ...waiting.about, fields }, open, at: wholeSeconds(new Date()) });
        await ask("records", "put", waiting);
      } else {
        line.nth = (await added(ask, "line", { sheet, key, fields, seen: line.v }, { open })).nth;
      }
      if (open) await ask("own", "put", line.nth, "open");
      round.lines[key] = { v: line.v, nth: line.nth, fields };
      await ask("rounds", "put", round);
      return round;
    });
  }

  /** What was open when the app was ended is as good as typed to its end. */
  async closeAll() {
    if (!(await this.read("own", "open"))) return;
    await this.write(["own", "records"], async (ask) => {
      const nth = await ask("own", "get", "open");
      const record = nth ? await ask("records", "get", nth) : null;
      if (record?.open) await ask("records", "put", { ...record, open: false });
      await ask("own", "delete", "open");
    });
  }

  /** Before it goes out: from now on nobody changes it. Null where it is still being typed, or gone. */
  takeOut(nth) {
    return this.write(["records"], async (ask) => {
      const record = await ask("records", "get", nth);
      if (!record || record.open) return null;
      if (!record.tried) await ask("records", "put", { ...record, tried: true });
      return record;
    });
  }

  /** The desk has it: out with it, in with what became of it, and the line learns what the desk says; all together. */
  done(record, answer) {
    return this.write(["records", "sent", "rounds"], async (ask) => {
      await ask("records", "delete", record.nth);
      const { id, nth, at, kind, about } = record;
      const n = await ask("sent", "add", { id, nth, at, kind, about, became: answer.became, said: answer.said ?? "", sent: new Date().toISOString() });
      if (n > MOST_SENT) await ask("sent", "delete", IDBKeyRange.upperBound(n - MOST_SENT));
      const round = about.sheet ? await ask("rounds", "get", about.sheet) : null;
      if (!round) return;
      if (kind === "line") await learn(ask, round, record, answer);
      if (kind === "finish" && answer.sheet) Object.assign(round, { state: answer.sheet.state, missing: answer.sheet.missing ?? null });
      if (kind === "finish") Object.assign(round, { answered: answer.said ?? "", became: answer.became });
      if (kind === "photo") round.photos = (round.photos ?? []).map((one) => (one.photo === about.photo ? { ...one, sent: true } : one));
      await ask("rounds", "put", round);
    });
  }

  /** The desk cannot take it as it is: it stays, with what the desk says. */
  stuck(nth, why) {
    return this.write(["records"], async (ask) => {
      const record = await ask("records", "get", nth);
      if (record) await ask("records", "put", { ...record, stuck: why });
    });
  }
}

const ofWhat = ({ machine, sheet, place }) => [machine, sheet ?? "", place].join(" ");

async function added(ask, kind, about, more) {
  const nth = ((await ask("own", "get", "nth")) ?? 0) + 1;
  let writer = await ask("own", "get", "writer");
  if (!writer) {
    writer = crypto.randomUUID();
    await ask("own", "put", writer, "writer");
  }
  await ask("own", "put", nth, "nth");
  const { person } = (await ask("own", "get", "met")) ?? {};
  const owner = about.machine ?? (await ask("rounds", "get", about.sheet))?.machine ?? "";
  const of = kind === "photo" ? { of: ofWhat(about) } : {};
  const record = { ...recordOf(kind, about, { nth, writer, person }), owner, ...of, ...more };
  await ask("records", "put", record);
  return record;
}

async function learn(ask, round, { nth, about }, { line: told, became, said }) {
  const line = round.lines[about.key];
  if (!line) return;
  if (told && !told.aside) line.v = told.v;
  if (line.nth === nth) {
    delete line.nth;
    line.told = { ...told, became, said };
    return;
  }
  const newer = line.nth ? await ask("records", "get", line.nth) : null;
  if (newer && !newer.tried) await ask("records", "put", { ...newer, about: { ...newer.about, seen: line.v } });
}
