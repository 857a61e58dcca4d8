/* Wires the rail to the desk, no logic. Listens on the document, because the plan may arrive after the page. */
import { say } from "../desk/say.js";
import { Rail } from "./rail.js";
import { at, hours, moved, place, said } from "./spots.js";

const rails = new WeakMap();

function railOf(form) {
  if (!rails.has(form)) rails.set(form, new Rail(form, { at, hours, moved, place, said, say, ask }));
  return rails.get(form);
}

async function ask(address) {
  const answer = await fetch(address, { headers: { Accept: "application/json" } });
  if (!answer.ok) throw new Error(say("the desk answered {status}", { status: answer.status }));
  return answer.json();
}

function begin() {
  document.querySelectorAll("form[data-mover]").forEach((form) => railOf(form));
}

begin();
document.addEventListener("htmx:afterSettle", begin);
