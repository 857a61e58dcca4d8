/* What waits to be sent: records, their order, what they come to. Pure: no page, no store, no network. */
import { counted, say } from "../desk/say.js";

export const SHAPE = 1;

/** A record: its id is the write's key, once for ever. */
export function recordOf(kind, about, { nth, writer, person = "", at = new Date() }) {
  return { id: crypto.randomUUID(), shape: SHAPE, nth, at: wholeSeconds(at), writer, person, kind, about };
}

export function wholeSeconds(at) {
  return at.toISOString().replace(/\.\d+Z$/, "Z");
}

/** What goes to the desk of a record; how it stands on this phone is nobody else's. */
export function sentAs({ id, shape, nth, at, writer, person, kind, about }) {
  return { id, shape, nth, at, writer, person, kind, about };
}

/** Whether a record must wait for one of those that stay on the phone: a walk-round for its machine, a line for its walk-round, the end for all. */
export function isHeldBack({ nth, kind, about }, stuck) {
  return stuck.some((one) => {
    if (one.nth === nth) return true;
    if (one.kind === "machine") return one.about.machine === about.machine;
    const isOfSame = Boolean(about.sheet) && one.about.sheet === about.sheet;
    return isOfSame && (one.kind === "begin" || kind === "finish");
  });
}

/** @param {{lines: number, photos: number}} waits @returns {string} such as "13 lines, 1 photo"; empty where nothing waits */
export function waitsSaid({ lines, photos }) {
  const text = lines ? counted("{n} line", "{n} lines", lines) : "";
  const taken = photos ? counted("{n} photo", "{n} photos", photos) : "";
  return text && taken ? say("{lines}, {photos}", { lines: text, photos: taken }) : text || taken;
}

/** @returns {string} what a record is, in words */
export function kindSaid(kind) {
  const said = {
    machine: () => say("A new machine"),
    begin: () => say("A walk-round begun"),
    line: () => say("A line"),
    finish: () => say("Finished"),
    photo: () => say("A photo"),
  };
  return said[kind]?.() ?? kind;
}

/** @returns {string} what became of a record at the desk */
export function becameSaid(became) {
  const said = {
    done: () => say("done"),
    aside: () => say("kept aside: somebody else wrote the same line"),
    questioned: () => say("asked about"),
    look: () => say("kept at the desk, where somebody must look at it"),
  };
  return said[became]?.() ?? became;
}

/** Parts of the file a phone saves: a head, then a record a line, photos in letters. */
export async function fileOf(records, { phone, person, saved }, lettersOf) {
  const parts = [`${JSON.stringify({ pitchline_pocket: 1, phone, person, saved })}\n`];
  for (const record of records) {
    const line = sentAs(record);
    if (record.file) line.file = await lettersOf(record.file);
    parts.push(`${JSON.stringify(line)}\n`);
  }
  return parts;
}
