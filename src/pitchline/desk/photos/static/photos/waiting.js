/* Photos that no desk has yet, kept in this browser so that a reload, a dead battery or a lost signal loses none. */

const STORE = "photos";

/** Where a browser refuses to keep anything they last as long as the page. */
export class Waiting {
  constructor() {
    this.held = new Map();
    this.opened = open();
    this.loaded = this.within("readonly", (store) => store.getAll()).then((asked) => asked?.result.forEach((one) => this.held.set(one.id, one)));
  }

  /** @returns {Promise<boolean>} whether the browser keeps it: said only once it is written */
  async put(one) {
    this.held.set(one.id, one);
    return (await this.within("readwrite", (store) => store.put(one))) !== undefined;
  }

  async drop(id) {
    this.held.delete(id);
    await this.within("readwrite", (store) => store.delete(id));
  }

  /** @returns {Promise<object[]>} in the order they were taken */
  async all() {
    await this.loaded;
    return [...this.held.values()].sort((one, other) => one.at - other.at);
  }

  async within(mode, what) {
    const known = await this.opened;
    if (!known) return undefined;
    return new Promise((done) => {
      try {
        const going = known.transaction(STORE, mode, { durability: "strict" });
        const asked = what(going.objectStore(STORE));
        going.oncomplete = () => done(asked);
        going.onabort = going.onerror = () => done(undefined);
      } catch {
        done(undefined);
      }
    });
  }
}

function open() {
  return new Promise((done) => {
    try {
      const asked = indexedDB.open("pitchline photos", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "id" });
      asked.onsuccess = () => done(asked.result);
      asked.onerror = asked.onblocked = () => done(null);
    } catch {
      done(null);
    }
  });
}
