// A button that copies the text it names; without this script the text is marked and copied by hand.

for (const button of document.querySelectorAll("button[data-copies]")) {
  const text = document.getElementById(button.dataset.copies);
  button.hidden = false;
  button.addEventListener("click", async () => {
    text.select();
    try {
      await navigator.clipboard.writeText(text.value);
    } catch {
      document.execCommand("copy"); // a browser that lets no page at the clipboard copies what is marked
    }
    button.textContent = button.dataset.sayDone;
  });
}
