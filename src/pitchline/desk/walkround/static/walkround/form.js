/* Page to lines: which line a field belongs to, and everything a line says. */

/** Calls back with a line's key on every change of one of its fields. The tool is remembered for lines without one. */
export function watch(form, changed) {
  form.addEventListener("change", (event) => {
    const line = event.target.closest("[data-line]");
    if (!line) return;
    if (event.target.matches("[data-tool]")) rememberTool(form, line, event.target.value);
    if (event.target.name === "head~unit") takeUnit(form, event.target.value);
    changed(line.dataset.line);
  });
  offerTool(form);
}

/** @returns {FormData} the line's fields, with the form's token and writer */
export function fieldsOf(form, key) {
  const data = new FormData();
  for (const name of ["csrfmiddlewaretoken", "writer"]) data.set(name, form.elements[name].value);
  const line = lineOf(form, key);
  line.querySelectorAll("input[name], select[name]").forEach((field) => data.set(field.name, field.value));
  return data;
}

export function lineOf(form, key) {
  return [...form.querySelectorAll("[data-line]")].find((line) => line.dataset.line === key);
}

function isUnread(line) {
  return [...line.querySelectorAll(".boxes-in input")].every((input) => !input.value);
}

/** Lines nobody has read yet take another unit; what was typed keeps the unit it was typed in. */
function takeUnit(form, unit) {
  form.querySelectorAll("[data-unit]").forEach((input) => {
    const line = input.closest("[data-line]");
    if (!isUnread(line)) return;
    input.value = unit;
    line.querySelector(".unit").textContent = unit;
    line.querySelectorAll(".boxes-in input[name$='~1'], .boxes-in input[name$='~2'], .boxes-in input[name$='~3']").forEach(
      (box) => (box.inputMode = unit === "mm" ? "decimal" : "text"),
    );
  });
}

function quantityOf(line) {
  return line.dataset.line.split(":")[1] || "";
}

function rememberTool(form, line, tool) {
  try {
    sessionStorage.setItem(`tool ${quantityOf(line)}`, tool);
  } catch {
    return;
  }
  offerTool(form);
}

/** A line nobody has read yet begins with the tool used last for the same quantity. */
function offerTool(form) {
  form.querySelectorAll("[data-tool]").forEach((select) => {
    const line = select.closest("[data-line]");
    const unread = isUnread(line);
    let tool = null;
    try {
      tool = sessionStorage.getItem(`tool ${quantityOf(line)}`);
    } catch {
      return;
    }
    if (unread && tool && [...select.options].some((option) => option.value === tool)) select.value = tool;
  });
}
