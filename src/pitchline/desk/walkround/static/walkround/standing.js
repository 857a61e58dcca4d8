/* How a part stands, in words: pure, and the same as `PlaceFields` in pages.py, so that it is right without a signal too. */

/**
 * @param {{readings: number, unread: string[], refused: string[], held: string[], asked: string[], seen: boolean, looked: boolean}} part
 * @returns {string} what is left to do on it; empty where nothing is
 */
export function leftOf(part, say) {
  const groups = [
    [part.refused, say("could not be saved")],
    [part.held, say("held back until answered")],
    [part.asked, say("asked about, kept in the figures")],
    [part.unread, say("not read")],
  ];
  const said = groups.filter(([labels]) => labels.length > 0).map(([labels, what]) => `${labels.join(", ")}: ${what}`);
  if (part.seen && !part.looked) said.push(say("not looked over"));
  return said.join("; ");
}

/** @returns {string} how it stands, in a word or two */
export function markOf(part, say) {
  if (part.refused.length > 0) return say("not saved");
  if (part.held.length + part.asked.length > 0) return say("questioned");
  const typed = part.readings - part.unread.length;
  if (typed < part.readings) return typed > 0 ? say("{typed} of {n} read", { typed, n: part.readings }) : say("not read");
  if (part.seen && !part.looked) return part.readings > 0 ? say("read, not looked over") : say("not looked over");
  return say("✓ done");
}

/** @returns {Record<string, number>} over all parts, how many quantities stand how, and how many parts nobody looked over */
export function countsOf(parts) {
  const sum = (what) => parts.reduce((far, part) => far + what(part), 0);
  const refused = sum((part) => part.refused.length);
  return {
    read: sum((part) => part.readings - part.unread.length) - refused,
    unread: sum((part) => part.unread.length),
    refused,
    questioned: sum((part) => part.held.length + part.asked.length),
    unlooked: sum((part) => (part.seen && !part.looked ? 1 : 0)),
  };
}
