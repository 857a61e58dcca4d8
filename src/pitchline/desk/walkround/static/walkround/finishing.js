/* Finishing waits until everything typed here is saved; without a signal it says so. */

import { counted } from "../desk/say.js";

const LONGEST_MS = 5000;

export function startFinishing(kept, outbox) {
  const form = document.querySelector("form[data-finish]");
  form?.addEventListener("submit", async (event) => {
    if (kept.keys().length === 0) return;
    event.preventDefault();
    await Promise.race([outbox.gone(kept.keys()), new Promise((done) => setTimeout(done, LONGEST_MS))]);
    const left = kept.keys().length;
    if (left === 0) return form.requestSubmit(event.submitter);
    document.querySelector("[data-finish-said]").textContent = counted(
      "Not finished: {n} line is not saved yet, and kept in this phone. Finish once they are saved.",
      "Not finished: {n} lines are not saved yet, and kept in this phone. Finish once they are saved.",
      left,
    );
  });
}
