/* One line to the server. Whether it arrived is told by what the answer says, never by the browser's own opinion. */

const LONGEST_MS = 15000;

/**
 * @param {string} address
 * @param {[string, string][]} fields the line's, with the form's token and the writer
 * @returns {Promise<object>} done, and answer, refused or isOut
 */
export async function send(address, fields) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), LONGEST_MS);
  const body = new FormData();
  fields.forEach(([name, value]) => body.set(name, value));
  try {
    const reply = await fetch(address, {
      method: "POST",
      body,
      headers: { Accept: "application/json" },
      credentials: "same-origin",
      redirect: "manual",
      signal: stop.signal,
    });
    // To the page for signing in, or a form from before that: only loading the page again helps.
    if (reply.type === "opaqueredirect" || reply.status === 403) return { done: false, isOut: true };
    if (!(reply.headers.get("Content-Type") || "").startsWith("application/json")) return { done: false };
    const answer = await reply.json();
    if (reply.ok && Array.isArray(answer.lines)) return { done: true, answer };
    if (reply.status === 400 && Array.isArray(answer.problems)) return { done: true, refused: answer.problems };
    return { done: false };
  } catch {
    return { done: false };
  } finally {
    clearTimeout(timer);
  }
}
