/**
 * What was typed and not yet acknowledged, kept in this browser line by line, so that a reload, a dead battery or a lost
 * signal loses nothing. A line is let go only when the desk has said that exactly this was saved.
 */
export class Unsent {
  /** @param {string} sheet the sheet's address  @param {Storage} store */
  constructor(sheet, store) {
    this.begin = `walk-round ${sheet} `;
    this.store = store;
  }

  /** @returns {boolean} whether this browser keeps anything */
  put(key, fields) {
    try {
      this.store.setItem(this.begin + key, JSON.stringify(fields));
      return true;
    } catch {
      return false;
    }
  }

  /** @returns {[string, string][] | null} */
  fields(key) {
    return parsed(this.store.getItem(this.begin + key));
  }

  keys() {
    const names = Array.from({ length: this.store.length }, (_, at) => this.store.key(at));
    return names.filter((name) => name.startsWith(this.begin)).map((name) => name.slice(this.begin.length)).filter((key) => key !== "writer");
  }

  /** Lets a line go, unless it was typed on since `sent` was taken. */
  done(key, sent) {
    if (this.store.getItem(this.begin + key) === JSON.stringify(sent)) this.store.removeItem(this.begin + key);
  }

  drop(key) {
    this.store.removeItem(this.begin + key);
  }

  /** One name for everything this browser writes on this sheet: its own earlier writing is nobody else's. */
  writer(fresh) {
    try {
      const known = this.store.getItem(`${this.begin}writer`);
      if (known) return known;
      this.store.setItem(`${this.begin}writer`, fresh);
    } catch {
      return fresh;
    }
    return fresh;
  }
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** A store for browsers that refuse to keep anything: lasts as long as the page. */
export class Fleeting {
  constructor() {
    this.held = new Map();
  }
  get length() {
    return this.held.size;
  }
  key(at) {
    return [...this.held.keys()][at] ?? null;
  }
  getItem(name) {
    return this.held.get(name) ?? null;
  }
  setItem(name, text) {
    this.held.set(name, text);
  }
  removeItem(name) {
    this.held.delete(name);
  }
}

export function storeHere() {
  try {
    localStorage.setItem("pitchline tries", "1");
    localStorage.removeItem("pitchline tries");
    return localStorage;
  } catch {
    return new Fleeting();
  }
}
