/* The key that lights the lamp beside the camera, on a walk-round; none where the browser knows of no lamps. */
import { say } from "../desk/say.js";
import { mayLight, Torch } from "../desk/torch.js";
import { el } from "./el.js";

const WHY_NOT = {
  refused: () => say("The phone does not give its camera to this page now, so the light stays off."),
  none: () => say("This phone’s light cannot be lit from a page: use the phone’s own."),
};

/** @returns {{key: Element, told: Element, putOut: () => void} | null} the key, where it is told why not, and what puts it out */
export function lampHere() {
  if (!mayLight()) return null;
  const told = el("p.state", { role: "status" });
  const press = async () => {
    if (torch.burns) return torch.putOut();
    told.textContent = WHY_NOT[await torch.light()]?.() ?? "";
  };
  const key = el("button.button.lamp", { type: "button", "aria-pressed": "false", onclick: press }, say("Light"));
  const torch = new Torch(() => key.setAttribute("aria-pressed", String(torch.burns)));
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && torch.putOut());
  return { key, told, putOut: () => torch.putOut() };
}
