/* How each line and part of a round stands, from the parcel, its table and what was written: right without a signal. Pure. */
import { tell } from "./told.js";

const REPEATS = ["1", "2", "3"];

/** @returns {Record<string, object>} by line key what the machine's table says of everything that is read */
export function answersOf(parcel, lines) {
  if (!parcel.told) return {};
  const tables = {};
  const typed = {};
  for (const place of parcel.places)
    for (const reading of place.readings) {
      if (!reading.told) continue;
      tables[reading.key] = reading.told;
      const fields = lines[reading.key]?.fields;
      if (!fields || !REPEATS.some((n) => fields[n]?.trim())) continue;
      const blank = { 1: "", 2: "", 3: "", joints: String(reading.joints ?? ""), tool: "", unit: reading.unit, keep: "" };
      typed[reading.key] = { ...blank, ...fields };
    }
  return tell(parcel.told, tables, typed);
}

/**
 * What stands beside a line: what the desk said of exactly this, else what the table says.
 * @returns {{said: string, problem: string, aside: string, warned: {said: string, held: boolean, put: string, put_said: string}[]}}
 */
export function besideOf(line, answer) {
  const table = { said: answer?.unread || answer?.said || "", problem: "", aside: "", warned: (answer?.doubts ?? []).map(offered) };
  const told = line?.told;
  if (!told || !("warned" in told)) return table;
  return { said: table.said, problem: told.problem ?? "", aside: told.aside ? told.said : "", warned: told.warned ?? [] };
}

function offered({ said, held, put, put_said: putSaid }) {
  return { said, held, put: put ? new URLSearchParams(put).toString() : "", put_said: putSaid ?? "" };
}

/** @returns {{readings: number, unread: string[], refused: string[], held: string[], asked: string[], seen: boolean, looked: boolean}} */
export function partOf(place, lines, answers) {
  const part = { readings: place.readings.length, unread: [], refused: [], held: [], asked: [], seen: place.seen.length > 0, looked: false };
  for (const { key, label } of place.readings) {
    const fields = lines[key]?.fields ?? {};
    const { warned, problem } = besideOf(lines[key], answers[key]);
    if (!REPEATS.some((n) => fields[n]?.trim()) && !fields.out) part.unread.push(label);
    if (problem) part.refused.push(label);
    else if (warned.length > 0 && !fields.keep) (warned.some((one) => one.held) ? part.held : part.asked).push(label);
  }
  part.looked = Boolean(lines[place.looked]?.fields.looked) || place.seen.some((one) => lines[one.key]?.fields.bad);
  return part;
}

/** Whether nothing is left to do on a part. */
export function isDone(part) {
  return part.unread.length + part.refused.length + part.held.length === 0 && (!part.seen || part.looked);
}

/** The first part on which something is left; the last of all where nothing is. */
export function firstLeft(places, lines, answers) {
  return places.find((place) => !isDone(partOf(place, lines, answers))) ?? places[places.length - 1];
}
