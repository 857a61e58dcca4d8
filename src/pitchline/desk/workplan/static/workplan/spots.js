/* Pure: where a stop is, where it may go, and what is said of that. */

/** The spot of a step, or undefined. @param {{step: number}[]} spots @param {number} step */
export function at(spots, step) {
  return spots.find((spot) => spot.step === step);
}

/** Hours as typed; three digits behind a mark are thousands, for stops stand on whole steps. @param {string} text */
export function hours(text) {
  return Number(text.replace(/[^\d.,]/g, "").replace(/[.,](?=\d{3}(\D|$))/g, "").replace(",", "."));
}

/** A step moved by some, kept inside. @param {number} step @param {number} by @param {number} last */
export function moved(step, by, last) {
  return Math.min(Math.max(step + by, 0), last);
}

/** The step under a share of the rail. @param {number} share @param {number} last */
export function place(share, last) {
  return Math.round(Math.min(Math.max(share, 0), 1) * last);
}

/** What is said of a spot, by `say` of desk/say.js. @param {number} stop @param {{said: string, more?: string, refused?: string}} spot */
export function said(stop, spot, say) {
  if (spot.refused) return say("Lay-up {stop} cannot go to {spot}. {why}", { stop, spot: spot.said, why: spot.refused });
  return say("Lay-up {stop} in {spot}: the plan {more}.", { stop, spot: spot.said, more: spot.more });
}
