/* Wires the parts, no logic. */
import { watch } from "./form.js";
import { Outbox } from "./outbox.js";
import { showLine, showConnection, showTold } from "./status.js";
import { send } from "./sync.js";

const form = document.querySelector("form[data-sheet]");
if (form) {
  const outbox = new Outbox({
    send: (line) => send(form.dataset.sheet, form, line),
    onSaved: (answer) => {
      answer.lines.forEach((line) => showLine(form, line));
      showTold(document, answer);
    },
    onState: (state) => showConnection(document, state),
    wait: (ms) => new Promise((done) => setTimeout(done, ms)),
  });
  watch(form, (key) => outbox.put(key));
  window.addEventListener("online", () => outbox.hurry());
  let submitted = false;
  form.addEventListener("submit", () => (submitted = true));
  window.addEventListener("beforeunload", (event) => {
    if (outbox.waiting > 0 && !submitted) event.preventDefault();
  });
}
