/* Wires the parts, no logic. */
import { fieldsOf, lineOf, putBack, saysTheSame, watch } from "./form.js";
import { Kept, storeHere } from "./kept.js";
import { startKeys } from "./keys.js";
import { writeOut } from "./lines.js";
import { Outbox } from "./outbox.js";
import { startRound } from "./round.js";
import { offerLettingGo, showConnection, showLine, showMissing, showRefused, showTold, showWaiting, showWarned } from "./status.js";
import { send } from "./sync.js";

const form = document.querySelector("form[data-sheet]");
if (form) {
  writeOut(document);
  const kept = new Kept(form.dataset.sheet, storeHere());
  form.elements.writer.value = kept.writer(form.elements.writer.value);
  const hold = (key) => kept.put(key, fieldsOf(lineOf(form, key)));
  const known = ["csrfmiddlewaretoken", "writer"];

  const outbox = new Outbox({
    send: async (key) => {
      const fields = kept.fields(key) ?? [];
      const found = await send(form.dataset.sheet, [...known.map((name) => [name, form.elements[name].value]), ...fields]);
      if (found.answer) kept.done(key, fields);
      return found;
    },
    onSaved: (answer) => {
      answer.lines.forEach((line) => showLine(form, line));
      showWarned(form, answer.warned);
      showTold(document, answer);
    },
    onRefused: (key, said) => {
      showRefused(form, key, said);
      offerLettingGo(document, () => kept.drop(key));
    },
    onState: (state) => showConnection(document, state),
    wait: (ms) => new Promise((done) => setTimeout(done, ms)),
  });

  kept.keys().forEach((key) => {
    const line = lineOf(form, key);
    const fields = kept.fields(key) ?? [];
    if (line && saysTheSame(fields, fieldsOf(line))) return kept.drop(key);
    if (line) {
      putBack(line, fields);
      showWaiting(form, key);
    }
    outbox.put(key);
  });
  watch(
    form,
    (key) => {
      hold(key);
      showWaiting(form, key);
      showMissing(document, form);
    },
    (key) => outbox.put(key),
  );
  showMissing(document, form);
  const round = form.hasAttribute("data-round") ? startRound(form) : null;
  if (round) startKeys(form, round);
  window.addEventListener("online", () => outbox.hurry());
}
