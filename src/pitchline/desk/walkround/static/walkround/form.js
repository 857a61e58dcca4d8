/* Page to lines: which line a field belongs to, and everything a line says. */

const TYPING_REST_MS = 1500;

/**
 * Calls `typed` at every touch of a field, and `changed` when it is left or rests for a moment. The tool is remembered for
 * lines without one.
 */
export function watch(form, typed, changed) {
  const resting = new Map();
  const settle = (key) => {
    clearTimeout(resting.get(key));
    resting.delete(key);
    changed(key);
  };
  const keyAt = (event) => event.target.closest("[data-line]")?.dataset.line;
  form.addEventListener("input", (event) => {
    const key = keyAt(event);
    if (!key) return;
    if (event.target.matches("[data-box]") && event.target.value) clearOut(event.target.closest("[data-line]"));
    typed(key);
    clearTimeout(resting.get(key));
    resting.set(key, setTimeout(() => settle(key), TYPING_REST_MS));
  });
  form.addEventListener("change", (event) => {
    const key = keyAt(event);
    if (!key) return;
    if (event.target.matches("[data-tool]")) rememberTool(form, event.target.closest("[data-line]"), event.target.value);
    if (event.target.name === "head~unit") takeUnit(form, event.target.value);
    typed(key);
    settle(key);
  });
  form.addEventListener("focusout", (event) => {
    const key = keyAt(event);
    if (key && resting.has(key)) settle(key);
  });
  offerTool(form);
}

/** @returns {[string, string][]} the line's fields by name; of a choice what is chosen, of a tick nothing where it is off */
export function fieldsOf(line) {
  const found = new Map();
  line.querySelectorAll("input[name], select[name]").forEach((field) => {
    const choice = field.type === "radio" || field.type === "checkbox";
    if (!choice || field.checked) found.set(field.name, field.value);
  });
  return [...found];
}

/** Whether two lines say the same, whatever their version. */
export function saysTheSame(fields, others) {
  const words = (list) => JSON.stringify(list.filter(([name]) => !name.endsWith("~v")));
  return words(fields) === words(others);
}

/** Puts kept fields back into their line; the version stays the page's own. */
export function putBack(line, fields) {
  fields.forEach(([name, value]) => {
    line.querySelectorAll(`[name="${CSS.escape(name)}"]`).forEach((field) => {
      if (field.name.endsWith("~v")) return;
      if (field.type === "radio" || field.type === "checkbox") field.checked = field.value === value;
      else if (field.type !== "hidden" || field.hasAttribute("data-unit")) field.value = value;
    });
  });
}

/** Lines typed on before a script was there. */
export function typedBefore(form, known) {
  const typed = [...form.querySelectorAll("[data-box], [data-line=head] input:not([type])")].filter((one) => one.value !== one.defaultValue);
  return [...new Set(typed.map((one) => one.closest("[data-line]").dataset.line))].filter((key) => !known.includes(key));
}

export function lineOf(form, key) {
  return [...form.querySelectorAll("[data-line]")].find((line) => line.dataset.line === key);
}

export function isUnread(line) {
  return [...line.querySelectorAll("[data-box]")].every((input) => !input.value);
}

/** Whether something is still to be read on a line. */
export function isOpen(line) {
  const out = line.querySelector("[data-out]");
  return Boolean(out) && isUnread(line) && !out.checked;
}

function clearOut(line) {
  const out = line.querySelector("[data-out]");
  if (out) out.checked = false;
}

/** Lines nobody has read yet take another unit; what was typed keeps the unit it was typed in. */
function takeUnit(form, unit) {
  form.querySelectorAll("[data-unit]").forEach((input) => {
    const line = input.closest("[data-line]");
    if (!isUnread(line)) return;
    input.value = unit;
    line.querySelector(".unit").textContent = unit;
    line.querySelectorAll("[data-box]").forEach((box) => (box.inputMode = unit === "mm" ? "decimal" : "text"));
  });
}

function quantityOf(line) {
  return line.dataset.line.split(":")[1] || "";
}

function rememberTool(form, line, tool) {
  try {
    localStorage.setItem(`tool ${quantityOf(line)}`, tool);
  } catch {
    return;
  }
  offerTool(form);
}

/** A line nobody has read yet begins with the tool used last for the same quantity. */
function offerTool(form) {
  form.querySelectorAll("[data-tool]").forEach((select) => {
    const line = select.closest("[data-line]");
    let tool = null;
    try {
      tool = localStorage.getItem(`tool ${quantityOf(line)}`);
    } catch {
      return;
    }
    if (isUnread(line) && tool && [...select.options].some((option) => option.value === tool)) select.value = tool;
  });
}
