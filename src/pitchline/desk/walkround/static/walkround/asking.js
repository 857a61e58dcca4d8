/* Before one goes on: waits for the desk's word about what was just typed, and stays where it asks. */

const LONGEST_MS = 1500;

export class Asking {
  /** @param {HTMLFormElement} form  @param {import("./outbox.js").Outbox} outbox */
  constructor(form, outbox) {
    this.outbox = outbox;
    this.hurry = () => {};
    form.addEventListener("click", (event) => {
      const button = event.target.closest("[data-put]");
      if (!button) return;
      event.preventDefault();
      put(button.closest("[data-line]"), button.dataset.put);
    });
  }

  /**
   * @param {Element[]} lines what one is about to leave
   * @returns {Promise<Element | undefined>} the first that asks something not asked before
   */
  async asks(lines) {
    const keys = lines.map((line) => line.dataset.line).filter((key) => this.outbox.has(key));
    if (keys.length > 0) {
      const sooner = new Promise((done) => (this.hurry = done));
      await Promise.race([this.outbox.gone(keys), sooner, new Promise((done) => setTimeout(done, LONGEST_MS))]);
    }
    return lines.find((line) => question(line) !== "" && line.dataset.asked !== question(line));
  }

  /** The question in view, and the focus on what answers it. It is asked once; after that one may go on. */
  ask(line, block = "center") {
    line.dataset.asked = question(line);
    const target = line.querySelector("[aria-invalid]") ?? line.querySelector("[data-put]") ?? line.querySelector("[data-box]");
    open(target);
    target.focus({ preventScroll: true });
    line.scrollIntoView({ block });
  }
}

/** @returns {string} what is asked beside a line; empty where nothing is, or where it was answered with a reason */
function question(line) {
  if (line.hasAttribute("data-wrong")) return line.querySelector(".state").textContent;
  return line.hasAttribute("data-questioned") ? line.querySelector(".warnings").textContent : "";
}

/** What is folded away cannot be gone to. */
function open(field) {
  field.closest("details")?.setAttribute("open", "");
}

function put(line, fields) {
  const field = (name) => line.querySelector(`[name="${CSS.escape(`${line.dataset.line}~${name}`)}"]`);
  const changed = [...new URLSearchParams(fields)].map(([name, text]) => {
    field(name).value = text;
    return field(name);
  });
  changed.forEach(open);
  changed[0].focus({ preventScroll: true });
  line.scrollIntoView({ block: "start" });
  changed.forEach((one) => one.dispatchEvent(new Event("input", { bubbles: true })));
  changed[0].dispatchEvent(new Event("change", { bubbles: true }));
}
