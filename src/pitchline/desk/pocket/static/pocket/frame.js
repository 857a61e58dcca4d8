/* What stands on a walk-round whatever the part: bar, form, keys. Made once a page, for the keys listen on it for good. */
import { say } from "../desk/say.js";
import { Asking } from "../walkround/asking.js";
import { watch } from "../walkround/form.js";
import { startKeys } from "../walkround/keys.js";
import { watchSeen } from "../walkround/seen.js";
import { watchJoints } from "../walkround/sizes.js";
import { el } from "./el.js";
import { keysOf } from "./keypad.js";
import { lampHere } from "./lamp.js";

/** Nothing is waited for before one goes on: what is asked is known here. */
const AT_ONCE = { has: () => false, gone: async () => {} };
const NOWHERE = el("fieldset.stage");

class Frame {
  /** The walk in view; none while another page of the app is. */
  walk = null;
  keptAt = null;
  arrived = () => {};

  constructor() {
    this.number = el("span", { "data-number": true });
    this.far = el("span", { "data-far": true });
    this.route = el("div");
    this.title = el("h1", { tabindex: -1, "data-part-name": true });
    const mark = el("a.waits", { href: "#waiting", "data-mark-of-waiting": true, hidden: true });
    const where = el("div.where-line", {}, el("p.soft", {}, this.number, " · ", this.far), mark);
    this.bar = el("div.here-bar", { "data-here-bar": true }, where, this.route, this.title);
    this.stages = el("div", { "data-stages": true });
    this.photos = el("div");
    this.back = el("span");
    this.on = el("span");
    this.form = el("form.big", { onsubmit: (event) => event.preventDefault(), "data-round": true }, this.stages, this.photos, this.ways());
    this.asking = new Asking(this.form, AT_ONCE);
    this.keys = keysOf();
    this.lamp = lampHere();
    this.all = el("details.all-parts", { ontoggle: () => this.walk?.fillAll() }, el("summary", {}, say("All parts")));
    watchSeen(this.form);
    watchJoints(this.form);
    watch(
      this.form,
      (key) => this.walk?.typed(key, true),
      (key) => this.walk?.typed(key, false),
    );
  }

  ways() {
    const on = async () => {
      const asks = await this.asking.asks([...this.shown().querySelectorAll("[data-line]")]);
      if (asks) this.asking.ask(asks);
      else this.go(1);
    };
    return el(
      "p.acts.sticky.ways-on",
      {},
      el("button.button", { type: "button", onclick: () => this.go(-1) }, "← ", this.back),
      el("button", { type: "button", onclick: on }, this.on, " →"),
    );
  }

  /** Once it stands on the page. */
  start() {
    if (!this.isStarted) startKeys(this.form, this, this.asking);
    else {
      document.documentElement.classList.toggle("keys-open", !this.keys[0].hidden);
      this.arrived(0);
    }
    this.isStarted = true;
  }

  shown = () => (this.walk && this.stages.firstElementChild) || NOWHERE;
  whenShown = (then) => (this.arrived = then);

  /** How high the bar is; said anew only where that is another: the whole page is laid out again by it. */
  clearBar = () => {
    const high = `${this.bar.offsetHeight}px`;
    const { style } = document.documentElement;
    if (style.getPropertyValue("--bar") !== high) style.setProperty("--bar", high);
  };

  go = (by) => this.walk?.go(by);
}

let made = null;

export function frameHere() {
  return (made ??= new Frame());
}
