/* The number keys of a walk-round, in the order phones have; `walkround/keys.js` brings them to life. */
import { say } from "../desk/say.js";
import { el } from "./el.js";

export function keysOf() {
  const digit = (text, label) => el("button", { type: "button", "data-key": text, "aria-label": label ?? false }, text);
  const act = (name, text, classes = "act") => el(`button.${classes}`, { type: "button", "data-act": name }, text);
  return [
    el(
      "div.keys",
      { "data-keys": true, role: "group", "aria-label": say("Number keys"), hidden: true },
      digit("1"), digit("2"), digit("3"), act("rub", say("Delete")),
      digit("4"), digit("5"), digit("6"), act("again", say("Another reading")),
      digit("7"), digit("8"), digit("9"), act("skip", say("Skip part")),
      digit(".", say("Decimal point")), digit("0"), act("out", say("Cannot be reached")), act("next", say("Next"), "act.main-key.stays"),
      el("button.inch", { type: "button", "data-key": "/" }, "/"),
      el("button.inch", { type: "button", "data-key": " " }, say("space")),
      act("nothing", say("Nothing seen, next"), "act.foot.nothing-key"),
      act("back", say("← Part before"), "act.foot.stays"),
      act("photo", say("Photo"), "act.foot.stays"),
      act("own", say("Phone's own keys"), "act.foot"),
      act("hand", say("Left hand"), "act.foot"),
      act("ours", say("Number keys"), "act.foot.folded-only"),
    ),
    el(
      "p.keys-back",
      { "data-keys-back": true, hidden: true },
      el("button.button", { type: "button", "data-act": "ours" }, say("Number keys")),
    ),
  ];
}
