/* The whole round on one page at a desk: from reading to reading by Enter, and what else a reading has by one key. */

import { hearDevice } from "./device.js";

export function startTable(form) {
  const boxes = [...form.querySelectorAll("[data-box]")].filter((box) => !box.closest(".rest"));
  form.querySelectorAll(".rest").forEach((rest) => {
    rest.querySelector("summary").tabIndex = -1; // the + of its reading opens it: Tab goes from reading to reading
    if ([...rest.querySelectorAll("[data-box]")].some((box) => box.value) || rest.querySelector("[data-out]").checked) rest.open = true;
    sayTool(rest);
  });
  boxes.forEach((box) => box.setAttribute("aria-keyshortcuts", "+"));
  document.querySelectorAll("[data-keys-hint]").forEach((hint) => (hint.hidden = false));
  form.addEventListener("keydown", (event) => {
    if (!event.target.matches("[data-box]")) return;
    if (event.key === "Enter") next(event.target);
    else if (event.key === "+") more(event.target);
    else return;
    event.preventDefault();
  });
  form.addEventListener("change", (event) => {
    if (event.target.matches("[data-tool]")) form.querySelectorAll(".rest").forEach(sayTool);
  });
  hearDevice({ at: async () => null, onward: next });

  function next(box) {
    const first = box.closest("[data-line]").querySelector("[data-box]");
    const to = boxes[boxes.indexOf(first) + 1];
    if (to) to.focus();
    else box.blur();
  }
}

function more(box) {
  const rest = box.closest("[data-line]").querySelector(".rest");
  rest.open = true;
  rest.querySelector("[data-box]").focus();
}

/** Which tool goes with a reading is told where its choice is folded away. */
function sayTool(rest) {
  const tool = rest.querySelector("[data-tool]");
  rest.querySelector("[data-tool-said]").textContent = tool.value ? `· ${tool.selectedOptions[0].textContent}` : "";
}
