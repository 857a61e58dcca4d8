/* Bolts are told by their number: how bad they are follows from it, unless somebody says otherwise. */

/** @returns {string} as `severity_of_bolts` in trade/findings.py; empty for none */
export function badOf(count) {
  if (!Number.isInteger(count) || count < 1) return "";
  if (count === 1) return "slight";
  return count <= 3 ? "clear" : "severe";
}

export function watchSeen(form) {
  form.addEventListener("input", (event) => {
    if (!event.target.matches("[data-many]")) return;
    const line = event.target.closest("[data-line]");
    const count = Number(event.target.value.trim() || 0);
    if (count > 0 && line.hasAttribute("data-chosen")) return;
    const radio = [...line.querySelectorAll("input[type=radio]")].find((one) => one.value === badOf(count));
    if (count === 0) line.removeAttribute("data-chosen");
    if (radio.checked) return;
    radio.checked = true;
    radio.dispatchEvent(new CustomEvent("change", { bubbles: true, detail: "from the number" }));
  });
  form.addEventListener("change", (event) => {
    const line = event.target.closest("[data-line]");
    const many = line?.querySelector("[data-many]");
    if (!many || event.target.type !== "radio" || event.detail === "from the number") return;
    line.toggleAttribute("data-chosen", event.target.value !== "");
    if (event.target.value === "") many.value = "";
    else if (many.value.trim() === "") many.value = "1";
  }, { capture: true });
}

/** Whether something is said to be seen on a part. */
export function isAnythingSeen(lines) {
  return lines.some((line) => [...line.querySelectorAll("input[type=radio]")].some((one) => one.checked && one.value !== ""));
}
