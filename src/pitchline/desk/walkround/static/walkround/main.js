/* Wiring. */
import { keepAwake } from "../desk/awake.js";
import { Asking } from "./asking.js";
import { startFinishing } from "./finishing.js";
import { fieldsOf, lineOf, putBack, saysTheSame, typedBefore, watch } from "./form.js";
import { Unsent, storeHere } from "./unsent.js";
import { startKeys } from "./keys.js";
import { writeOut } from "./lines.js";
import { Outbox } from "./outbox.js";
import { startRound } from "./round.js";
import { watchSeen } from "./seen.js";
import { watchJoints } from "./sizes.js";
import {
  offerLettingGo,
  showConnection,
  showLine,
  showRefused,
  showStanding,
  showTold,
  showWaiting,
  showWarned,
  unusableShown,
} from "./status.js";
import { send } from "./sync.js";
import { startTable } from "./table.js";

const form = document.querySelector("form[data-sheet]");
if (form) {
  writeOut(document);
  const kept = new Unsent(form.dataset.sheet, storeHere());
  form.elements.writer.value = kept.writer(form.elements.writer.value);
  const hold = (key) => kept.put(key, fieldsOf(lineOf(form, key)));
  const whole = form.dataset.sheet.replace(/save\/$/, "");
  let unusable = unusableShown(document);
  const known = ["csrfmiddlewaretoken", "writer"];

  let state = { kind: "saved" };
  const tell = (found) => {
    state = found;
    // What is typed and not sent yet waits too: nobody is told beside it that everything is saved.
    showConnection(document, found.kind === "saved" ? { ...found, waiting: kept.keys().length } : found, unusable);
  };

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
      showStanding(document, form);
      unusable = answer.refused.map((one) => ({ ...one, href: one.place ? `${whole}at/${one.place}/` : `${whole}#line-head` }));
    },
    onRefused: (key, said) => {
      showRefused(form, key, said);
      offerLettingGo(document, () => kept.drop(key));
    },
    onState: (found) => tell(found),
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
  typedBefore(form, kept.keys()).forEach((key) => {
    hold(key);
    outbox.put(key);
  });
  watchSeen(form);
  watchJoints(form);
  watch(
    form,
    (key) => {
      hold(key);
      showWaiting(form, key);
      tell(state);
      showStanding(document, form);
    },
    (key) => outbox.put(key),
  );
  showStanding(document, form);
  const asking = new Asking(form, outbox);
  const round = form.hasAttribute("data-round") ? startRound(form, asking) : null;
  if (round) startKeys(form, round, asking);
  else startTable(form);
  if (round) keepAwake();
  startFinishing(kept, outbox);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-to]");
    const line = link && lineOf(form, link.dataset.to);
    if (!line) return;
    event.preventDefault();
    round?.showLine(line);
    asking.ask(line, round ? "start" : "center");
  });
  window.addEventListener("online", () => outbox.hurry());
}
