/* A calliper that types like a keyboard: it sends a figure, often with a unit, then Enter or Tab, faster than a hand can. `Burst` and `figureOf` are pure. */

const FAST_MS = 80; // between two keys, an assumption: a device over radio takes up to 60 ms for one, a hand that types figures 100 ms and more
const LEAST = 3;
const FIGURE = /^\s*\+?(-?)0*(\d+(?:[.,](\d+))?)\s*(mm|in|"|″)?\s*$/i;

/**
 * @param {string} text what a device typed
 * @returns {{figure: string, unit: string} | null} the figure with its own mark, and the unit it sent, "" for none
 */
export function figureOf(text) {
  const found = text.length >= LEAST ? FIGURE.exec(text) : null;
  if (!found) return null;
  const [, sign, number, decimals = "", unit = ""] = found;
  // three decimals might be thousands to a desk that writes them so; four cannot be
  const figure = sign + number + (decimals.length === 3 ? "0" : "");
  return { figure, unit: unit === "" || unit.toLowerCase() === "mm" ? unit.toLowerCase() : "in" };
}

/** What was typed in one go. */
export class Burst {
  text = "";
  last = 0;

  /** Whether a key at this moment begins anew. */
  begins(at) {
    return this.text === "" || at - this.last > FAST_MS;
  }

  /**
   * @param {string} key as `KeyboardEvent.key` names it  @param {number} at milliseconds
   * @returns {ReturnType<typeof figureOf>} the figure that Enter or Tab ended; null where a hand typed
   */
  key(key, at) {
    if (key === "Shift") return null;
    const text = this.begins(at) ? "" : this.text;
    this.text = key.length === 1 ? text + key : "";
    this.last = at;
    return key === "Enter" || key === "Tab" ? figureOf(text) : null;
  }
}

/**
 * Hears a device anywhere on a page. What it typed into a note stays there; on a button its Enter presses nothing.
 * @param {Document} page
 * @param {string} fields which fields take a reading
 * @param {(figure: string, unit: string, field: HTMLInputElement | null, stood: boolean) => void} came with the field it was typed into, put back
 *   to what stood in it; none where it was typed into nothing
 */
export function listen(page, fields, came) {
  const burst = new Burst();
  let before = { field: null, text: "", stood: false };
  page.addEventListener(
    "keydown",
    (event) => {
      if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
      if (burst.begins(event.timeStamp)) before = standsIn(event.target);
      const found = burst.key(event.key, event.timeStamp);
      if (!found) return;
      const field = event.target.matches?.(fields) ? event.target : null;
      if (!field && event.target.matches?.("input:not([type=radio], [type=checkbox], [type=file]), textarea")) return;
      event.preventDefault();
      event.stopPropagation();
      if (field && before.field === field) field.value = before.text;
      came(found.figure, found.unit, field, before.field === field && before.stood);
    },
    true,
  );
}

/** A text that is chosen whole is there to be replaced. */
function standsIn(field) {
  const text = field.value ?? "";
  const isChosen = field.selectionStart === 0 && field.selectionEnd === text.length;
  return { field, text, stood: text !== "" && !isChosen };
}
