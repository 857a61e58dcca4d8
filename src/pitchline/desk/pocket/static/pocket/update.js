/* The worker, and a new version of the app: it takes over on a tap, and never while a walk-round is under way. */
import { say } from "../desk/say.js";
import { el } from "./el.js";

/** @param {() => Promise<{name: string}[]>} underWay the walk-rounds begun on this phone and not finished */
export async function watchVersions(bar, underWay) {
  if (!navigator.serviceWorker) return bar(say("This way of reaching the desk keeps nothing for a place without a signal: see “What works by which way” on the desk’s page Phones."));
  let wanted = false;
  navigator.serviceWorker.addEventListener("controllerchange", () => wanted && location.reload());
  let registration;
  try {
    registration = await navigator.serviceWorker.register("/pocket/sw.js", { scope: "/pocket/", updateViaCache: "none" });
  } catch (error) {
    if (error.name === "SecurityError") bar(say("This phone does not trust the desk’s certificate, so it keeps nothing for a place without a signal. The desk’s page Phones tells how."));
    return;
  }
  const take = () => {
    wanted = true;
    registration.waiting?.postMessage("take over");
  };
  const offer = async () => {
    if (!registration.waiting || !navigator.serviceWorker.controller) return;
    const [round] = await underWay();
    if (round) bar(say("A new version is ready. It waits until the walk-round of {machine} is finished.", { machine: round.name }), "version");
    else bar([say("A new version is ready."), " ", el("button.button", { type: "button", onclick: take }, say("Put it in place"))], "version");
  };
  registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", offer));
  addEventListener("hashchange", offer);
  await offer();
  return () => registration.update().catch(() => {});
}
