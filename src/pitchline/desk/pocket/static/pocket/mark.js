/* The mark on every view: what waits, and whether the desk answers. */
import { say } from "../desk/say.js";
import { waitsSaid } from "./records.js";

/** @returns {string} what the mark says */
export function markSaid(kind, waits) {
  const what = waitsSaid(waits);
  if (kind === "out") return what ? say("sign in · {what} waiting", { what }) : say("sign in");
  if (kind === "none") return what ? say("no signal · {what} waiting", { what }) : say("no signal");
  if (what) return say("{what} waiting", { what });
  return say("nothing waits");
}

export function showMark(app) {
  let busy = false;
  let again = false;
  const fill = async () => {
    if (busy) return (again = true);
    busy = true;
    do {
      again = false;
      const waits = await app.store.waits();
      const { kind } = app.sender.state;
      document.querySelectorAll("[data-mark-of-waiting]").forEach((at) => {
        at.textContent = markSaid(kind, waits);
        at.classList.toggle("something", waits.lines + waits.photos > 0 || kind === "none" || kind === "out");
        at.hidden = false;
      });
    } while (again);
    busy = false;
  };
  app.store.addEventListener("changed", fill);
  app.sender.addEventListener("state", fill);
  app.marked = fill;
  fill();
}
