/* Number keys of our own on a phone: large, and the phone's keyboard stays away. The fields beneath are real ones. */
import { isOpen } from "./form.js";

const KEY = "number keys";

export function startKeys(form, round) {
  const keys = document.querySelector("[data-keys]");
  const back = document.querySelector("[data-keys-back]");
  if (!keys) return;
  let field = null;
  const onPhone = window.matchMedia("(pointer: coarse), (max-width: 700px)");
  const boxes = () => [...form.querySelectorAll("[data-box], [data-joints]")];
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
    fold(false);
    const unit = box.closest("[data-line]").querySelector("[data-unit]");
    keys.classList.toggle("inches", unit?.value === "in");
  }

  /** While one looks for cracks and leaks no numbers are wanted: two large keys are left. */
  function fold(wants) {
    keys.classList.toggle("folded", wants);
  }

  /** @returns {boolean} whether there is something to look for on this part, now in view */
  function look() {
    const heading = round.shown().querySelector(".seen h2");
    if (!heading || keys.classList.contains("folded")) return false;
    document.activeElement?.blur();
    field = null;
    fold(true);
    heading.scrollIntoView({ block: "start" });
    return true;
  }

  function enter(box) {
    if (!box) return;
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

  function onward() {
    const here = steps();
    const at = field && field.closest(".stage") === round.shown() ? here.indexOf(field) : -1;
    const line = field?.closest("[data-line]");
    const next = at >= 0 ? here[at + 1] : here.find((box) => field && line !== box.closest("[data-line]") && follows(field, box));
    if (next) enter(next);
    else if (!look()) part(1);
  }

  function part(by) {
    document.activeElement?.blur();
    field = null;
    fold(false);
    if (round.go(by)) begin();
    else round.leave();
  }

  function begin() {
    if (keys.hidden) return;
    const open = [...round.shown().querySelectorAll("[data-line]")].find(isOpen);
    if (open) enter(open.querySelector("[data-box]"));
    else look();
  }

  function type(text) {
    if (!field) begin();
    if (!field) return;
    field.setRangeText(text, field.selectionStart, field.selectionEnd, "end");
    told(field);
  }

  const acts = {
    rub() {
      if (!field) return;
      const [from, to] = [field.selectionStart, field.selectionEnd];
      field.setRangeText("", from === to ? Math.max(from - 1, 0) : from, to, "end");
      told(field);
    },
    again() {
      const line = field?.closest("[data-line]");
      if (!line) return begin();
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
      onward();
    },
    next: onward,
    own() {
      recall("own");
      open(false);
      field?.focus();
    },
    ours() {
      recall("ours");
      open(true);
      fold(false);
      enter(field ?? steps()[0]);
    },
  };

  const press = (event) => {
    const button = event.target.closest("[data-key], [data-act]");
    if (!button) return;
    if (button.dataset.key) type(button.dataset.key);
    else acts[button.dataset.act]();
  };
  keys.addEventListener("pointerdown", (event) => event.preventDefault());
  keys.addEventListener("click", press);
  back.addEventListener("click", press);
  form.addEventListener("focusin", (event) => {
    if (event.target.matches("[data-box], [data-joints]")) take(event.target);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("[data-box], [data-joints]")) return;
    event.preventDefault();
    onward();
  });
  onPhone.addEventListener("change", () => open(wanted()));
  open(wanted());
  begin();
}

function follows(box, other) {
  return Boolean(box.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING);
}

function told(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function recall(word) {
  try {
    if (word) localStorage.setItem(KEY, word);
    return localStorage.getItem(KEY);
  } catch {
    return word ?? null;
  }
}
