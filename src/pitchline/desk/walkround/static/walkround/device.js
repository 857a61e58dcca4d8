/* A calliper that types: each reading goes to where the round stands, then on; how many readings of each is chosen once one was heard. */
import { listen } from "../desk/calliper.js";
import { say } from "../desk/say.js";

const EACH = "calliper readings";
const MOST = 3;

/**
 * @param {{at: () => Promise<HTMLInputElement | null>, onward: () => void, heard?: () => void}} round which empty box waits
 *   while none has the focus, how it goes on, and what else happens when a device was heard
 */
export function hearDevice(round) {
  let told = null;
  listen(document, "[data-box], [data-joints], [data-many]", async (figure, unit, field, stood) => {
    told ??= offer();
    told.textContent = "";
    round.heard?.();
    const box = field?.matches("[data-box]") && !stood ? field : field ? freeIn(field) : await round.at();
    if (!box) {
      told.textContent = say("{figure} came from the calliper, and no field was ready for it: it is not written.", { figure });
      return;
    }
    const own = box.closest("[data-line]").querySelector("[data-unit]").value;
    box.value = unit && unit !== own ? `${figure} ${unit}` : figure;
    box.dispatchEvent(new Event("input", { bubbles: true }));
    box.dispatchEvent(new Event("change", { bubbles: true }));
    const more = read(box) < each() && freeIn(box);
    if (!more) return round.onward(box);
    more.closest("details")?.setAttribute("open", "");
    more.focus();
  });
}

const boxesBeside = (field) => [...field.closest("[data-line]").querySelectorAll("[data-box]")];
const freeIn = (field) => boxesBeside(field).find((box) => box.value === "");
const read = (field) => boxesBeside(field).filter((box) => box.value !== "").length;

function each() {
  try {
    return Number(localStorage.getItem(EACH)) || 1;
  } catch {
    return 1;
  }
}

/** @returns {Element} where it is told what became of a reading */
function offer() {
  const bar = document.createElement("div");
  bar.className = "calliper";
  const buttons = Array.from({ length: MOST }, (_, n) => {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: String(n + 1) });
    button.addEventListener("click", () => choose(n + 1));
    return button;
  });
  const choose = (number) => {
    try {
      localStorage.setItem(EACH, String(number));
    } catch {
      return; // a browser that keeps nothing goes on after one
    }
    press();
  };
  const press = () => buttons.forEach((button, n) => button.setAttribute("aria-pressed", String(n + 1 === each())));
  const words = Object.assign(document.createElement("span"), { id: "calliper-each", textContent: say("Calliper, readings each") });
  const group = document.createElement("span");
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", words.id);
  group.append(...buttons);
  const told = Object.assign(document.createElement("p"), { className: "wrong-said" });
  told.setAttribute("role", "alert");
  bar.append(words, group, told);
  press();
  const beside = document.querySelector("[data-here-bar]");
  if (beside) beside.append(bar);
  else document.querySelector("form[data-sheet]").before(bar);
  return told;
}
