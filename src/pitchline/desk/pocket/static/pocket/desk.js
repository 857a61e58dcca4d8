/* What is asked of the desk. Whether it is there is told by what it answers, never by the browser's own opinion. */

const WAYS = "/pocket/";

/**
 * @returns {Promise<{status: number, told: any, etag: string}>} status 0 where no answer of the desk's came: none at all, cut off,
 *   or somebody else's, such as a page of the network that wants one to sign in
 */
export async function ask(way, { ms = 15000, ...about } = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), ms);
  try {
    const reply = await fetch(WAYS + way, {
      credentials: "same-origin",
      redirect: "error",
      cache: "no-store",
      signal: stop.signal,
      ...about,
      headers: { Accept: "application/json", ...about.headers },
    });
    if (reply.status === 304) return { status: 304, told: null, etag: "" };
    if (!(reply.headers.get("Content-Type") ?? "").startsWith("application/json")) return nothing(reply.status);
    return { status: reply.status, told: await reply.json(), etag: reply.headers.get("ETag") ?? "" };
  } catch {
    return nothing(0);
  } finally {
    clearTimeout(timer);
  }
}

/** A fault of the desk is no answer; a file that is too large may be refused by whatever stands before it. */
function nothing(status) {
  return { status: status === 413 ? 413 : 0, told: null, etag: "" };
}

export const hello = () => ask("hello", { ms: 5000 });

/** One record: text as JSON, a photo with its file beside it. */
export function send(record, file, csrf) {
  const text = JSON.stringify(record);
  if (!file) return ask("send", { method: "POST", body: text, headers: { "Content-Type": "application/json", "X-CSRFToken": csrf } });
  const body = new FormData();
  body.set("record", text);
  body.set("file", file, `${record.about.photo}.jpg`);
  return ask("send", { method: "POST", body, ms: 90000, headers: { "X-CSRFToken": csrf } });
}

/** The yard, or one machine; 304 where it is what one has. */
export function fetched(way, etag) {
  return ask(way, { ms: 60000, headers: etag ? { "If-None-Match": etag } : {} });
}
