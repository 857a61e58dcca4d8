// The page with a code looks every few seconds whether a phone asks by it, and shows itself anew when one does.
const waits = document.querySelector("[data-waiting]");
const EVERY_MS = 2000;

async function look() {
  try {
    const answer = await fetch(waits.dataset.waiting, { headers: { Accept: "application/json" } });
    const { state } = await answer.json();
    if (state !== "open") {
      location.assign("/phones/");
      return;
    }
  } catch {
    // the desk is being started again: look later
  }
  setTimeout(look, EVERY_MS);
}

if (waits) setTimeout(look, EVERY_MS);
