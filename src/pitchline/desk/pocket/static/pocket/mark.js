/* The mark on every view: what waits, and whether the desk answers. */
import { say } from "../desk/say.js";

/** @returns {string} what the mark says: short, for it stands beside everything */
export function markSaid(kind, { lines, photos }) {
  const n = lines + photos;
  if (kind === "out") return n ? say("sign in · {n} waiting", { n }) : say("sign in");
  if (kind === "none") return n ? say("no signal · {n} waiting", { n }) : say("no signal");
  return n ? say("{n} waiting", { n }) : say("nothing waits");
}

/** On the app's icon, where the phone has such a mark. */
export function putOnIcon(n, phone = navigator) {
  const said = n ? phone.setAppBadge?.(n) : phone.clearAppBadge?.();
  said?.catch(() => {}); // a browser that has it and an app that is not on the home screen
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
      app.waiting = waits.lines + waits.photos;
      app.titled();
      putOnIcon(app.waiting);
    } while (again);
    busy = false;
  };
  app.store.addEventListener("changed", fill);
  app.sender.addEventListener("state", fill);
  app.marked = fill;
  fill();
}
