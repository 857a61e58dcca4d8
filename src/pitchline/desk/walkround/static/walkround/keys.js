/* Number keys of our own on a phone: large, and the phone's keyboard stays away. The fields beneath are real ones. */
import { rubbed } from "./caret.js";
import { isOpen } from "./form.js";
import { isAnythingSeen } from "./seen.js";
import { hearDevice } from "./device.js";

const KEY = "number keys";
const HAND = "hand of the number keys";
const TYPED_INTO = "[data-box], [data-joints], [data-many]";

export function startKeys(form, round, asking) {
  const keys = document.querySelector("[data-keys]");
  const back = document.querySelector("[data-keys-back]");
  if (!keys) return;
  let field = null;
  let tapped = null;
  let lookedAt = null;
  let going = null;
  let isDevice = false;
  const onPhone = window.matchMedia("(pointer: coarse), (max-width: 700px)");
  const boxes = () => [...form.querySelectorAll(TYPED_INTO)];
  const wanted = () => onPhone.matches && recall() !== "own";

  function open(wants) {
    keys.hidden = !wants;
    back.hidden = wants || !onPhone.matches;
    document.documentElement.classList.toggle("keys-open", wants);
    boxes().forEach((box) => {
      if (!box.dataset.ownMode) box.dataset.ownMode = box.inputMode || "text";
      box.inputMode = wants ? "none" : box.dataset.ownMode;
    });
  }

  function take(box) {
    field = box;
    fold(isDevice ? "device" : "");
    const unit = box.closest("[data-line]").querySelector("[data-unit]");
    keys.classList.toggle("inches", unit?.value === "in");
  }

  /** While one looks for cracks and leaks, answers a question, writes a note or has a calliper that types, a few large keys are left. */
  function fold(why) {
    keys.classList.toggle("folded", why !== "");
    keys.classList.toggle("looking", why === "look");
    freshen();
  }

  /** "Nothing seen" is offered only where nothing is said to be seen. */
  function freshen() {
    keys.querySelector('[data-act="nothing"]').hidden = isAnythingSeen(lines());
  }

  const lines = () => [...round.shown().querySelectorAll("[data-line]")];

  /** @returns {boolean} whether there is something to look for on this part, now in view */
  function look() {
    const heading = round.shown().querySelector(".seen h2");
    if (!heading || lookedAt === round.shown()) return false;
    lookedAt = round.shown();
    document.activeElement?.blur();
    field = null;
    fold("look");
    heading.scrollIntoView({ block: "start" });
    return true;
  }

  function enter(box) {
    if (!box) return;
    round.clearBar();
    box.focus({ preventScroll: true });
    box.select();
    take(box);
    box.closest("[data-line]").scrollIntoView({ block: "start" });
  }

  /** Where "Next" leads within this part: the first box of each line, and the joints of a line that spans some. */
  function steps() {
    return [...round.shown().querySelectorAll("[data-line]")].flatMap((line) => {
      const first = line.querySelector("[data-box]");
      const joints = line.querySelector("[data-joints]");
      return [first, joints].filter(Boolean);
    });
  }

  /** @param {boolean} isTyped whether a device typed: it sends readings, so the joints stay as they stand */
  async function onward(isTyped = false) {
    if (field?.matches("[data-many]")) return backToLooking();
    if (!field && lookedAt !== round.shown() && lines().some(isOpen)) return begin(1);
    const here = steps().filter((box) => !(isTyped && box.matches("[data-joints]") && box.value));
    const at = field && field.closest(".stage") === round.shown() ? here.indexOf(field) : -1;
    const line = field?.closest("[data-line]");
    const next = at >= 0 ? here[at + 1] : here.find((box) => field && line !== box.closest("[data-line]") && follows(field, box));
    if (next && next.closest("[data-line]") === line) return enter(next);
    document.activeElement?.blur();
    const asks = await asking.asks(line ? [line] : lines());
    if (asks) return ask(asks);
    if (next) enter(next);
    else if (!look()) part(1);
  }

  function backToLooking() {
    document.activeElement?.blur();
    field = null;
    fold("look");
  }

  /** Stays at a line the desk asks about: a figure it cannot use is typed again, a questioned one corrected or kept. */
  function ask(line) {
    round.clearBar();
    asking.ask(line, "start");
    if (document.activeElement?.matches("[data-box], [data-joints]")) return enter(document.activeElement);
    field = line.querySelector("[data-box]");
    fold("ask");
    line.scrollIntoView({ block: "start" });
  }

  function part(by) {
    document.activeElement?.blur();
    field = null;
    round.go(by);
  }

  /** @param {number} way 1 onwards: to what is still to be read, else to what is to be looked for; 0 to what is asked first */
  function begin(way) {
    field = null;
    lookedAt = null;
    fold("");
    if (keys.hidden || way < 0) return;
    const asked = way === 0 && lines().find((line) => line.matches("[data-wrong], [data-questioned]"));
    if (asked) return ask(asked);
    const open = lines().find(isOpen);
    if (open) enter(open.querySelector("[data-box]"));
    else if (way > 0) look();
  }

  function type(text) {
    if (!field) begin(0);
    if (!field) return;
    field.setRangeText(text, field.selectionStart, field.selectionEnd, "end");
    told(field);
  }

  const acts = {
    rub() {
      if (!field) return;
      const left = rubbed(field.value, field.selectionStart, field.selectionEnd);
      field.value = left.text;
      field.setSelectionRange(left.at, left.at);
      told(field);
    },
    again() {
      const line = field?.closest("[data-line]");
      if (!line) return begin(0);
      const all = [...line.querySelectorAll("[data-box]")];
      enter(all.find((box) => !box.value) ?? all[(all.indexOf(field) + 1) % all.length]);
    },
    skip: () => part(1),
    back: () => part(-1),
    out() {
      const tick = field?.closest("[data-line]")?.querySelector("[data-out]");
      if (!tick) return;
      tick.checked = true;
      tick.dispatchEvent(new Event("change", { bubbles: true }));
      return onward();
    },
    nothing() {
      const tick = round.shown().querySelector("[data-looked]");
      tick.checked = true;
      tick.dispatchEvent(new Event("change", { bubbles: true }));
      part(1);
    },
    next: () => onward(),
    hand: () => turn(recall(undefined, HAND) === "left" ? "right" : "left"),
    own() {
      recall("own");
      open(false);
      field?.focus();
    },
    ours() {
      recall("ours");
      isDevice = false;
      open(true);
      enter(field ?? steps()[0]);
    },
  };

  const press = async (event) => {
    const button = event.target.closest("[data-key], [data-act]");
    if (!button) return;
    if (button.dataset.act === "photo") return camera()?.click(); // within the tap, or no browser opens it
    while (going) {
      asking.hurry();
      await going;
    }
    if (button.dataset.key) return type(button.dataset.key);
    run(acts[button.dataset.act]);
  };

  /** One act at a time; whoever presses on does not wait for the desk. */
  function run(act) {
    const done = act();
    if (!(done instanceof Promise)) return;
    keys.setAttribute("aria-busy", "true");
    going = done.finally(() => {
      going = null;
      keys.removeAttribute("aria-busy");
    });
  }

  /** The keys for the other thumb: what is not a number stands at the other edge. */
  function turn(hand) {
    recall(hand, HAND);
    keys.classList.toggle("left", hand === "left");
    keys.querySelector('[data-act="hand"]')?.setAttribute("aria-pressed", String(hand === "left"));
  }

  const camera = () => document.querySelector(`[data-photos-of="${CSS.escape(round.shown().dataset.place)}"] [name=camera]`);

  hearDevice({
    heard() {
      isDevice = true;
      if (field) fold("device");
    },
    async at() {
      asking.hurry();
      await going;
      const line = field?.closest("[data-line]");
      return line && line.closest(".stage") === round.shown() && field.value === "" && !line.matches("[data-wrong], [data-questioned]") ? field : null;
    },
    onward(box) {
      field = box;
      run(() => onward(true));
    },
  });
  keys.addEventListener("pointerdown", (event) => event.preventDefault());
  keys.addEventListener("click", press);
  back.addEventListener("click", press);
  document.addEventListener("focusin", (event) => {
    if (event.target.matches(TYPED_INTO)) take(event.target);
    else if (event.target.matches("input:not([type=radio], [type=checkbox]), textarea")) fold("note");
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches(TYPED_INTO)) return;
    event.preventDefault();
    if (!going) run(() => onward());
  });
  form.addEventListener("change", freshen);
  form.addEventListener("pointerdown", (event) => (tapped = event.target === document.activeElement ? null : event.target));
  form.addEventListener("click", (event) => {
    if (keys.hidden || !event.target.matches(TYPED_INTO)) return;
    take(event.target);
    if (event.target === tapped) event.target.select();
    else event.target.setSelectionRange(event.target.value.length, event.target.value.length);
  });
  onPhone.addEventListener("change", () => open(wanted()));
  open(wanted());
  turn(recall(undefined, HAND) ?? "right");
  round.whenShown(begin);
  begin(0);
}

function follows(box, other) {
  return Boolean(box.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING);
}

function told(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function recall(word, what = KEY) {
  try {
    if (word) localStorage.setItem(what, word);
    return localStorage.getItem(what);
  } catch {
    return word ?? null;
  }
}
