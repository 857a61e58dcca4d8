/* The rail: stops as sliders, by pointer, keys and buttons; every move asks the desk what it costs. */

const KEYS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -5, PageUp: 5 };

export class Rail {
  constructor(form, tools) {
    this.form = form;
    this.tools = tools;
    this.last = Number(form.dataset.last);
    this.stepH = Number(form.dataset.stepH);
    this.rail = form.querySelector("[data-rail]");
    this.told = form.querySelector("[data-told]");
    this.stops = [...form.querySelectorAll("[data-stop]")];
    this.spots = new Map();
    this.rail.hidden = false;
    form.querySelectorAll("[data-by]").forEach((button) => {
      button.hidden = false;
      button.addEventListener("click", () => this.by(this.stop(button.dataset.of), Number(button.dataset.by)));
    });
    this.stops.forEach((stop) => this.watch(stop));
    this.draw();
  }

  stop(number) {
    return this.stops.find((stop) => stop.dataset.stop === number);
  }

  watch(stop) {
    stop.addEventListener("focus", () => this.know(stop));
    stop.addEventListener("keydown", (event) => {
      const by = { Home: -this.last, End: this.last }[event.key] ?? KEYS[event.key];
      if (by === undefined) return;
      event.preventDefault();
      this.by(stop, by);
    });
    stop.addEventListener("pointerdown", (event) => {
      stop.setPointerCapture(event.pointerId);
      stop.classList.add("held");
      this.know(stop);
    });
    stop.addEventListener("pointermove", (event) => {
      if (!stop.classList.contains("held")) return;
      const box = this.rail.getBoundingClientRect();
      this.put(stop, this.tools.place((event.clientX - box.left) / box.width, this.last));
    });
    ["pointerup", "pointercancel"].forEach((name) => stop.addEventListener(name, () => stop.classList.remove("held")));
    this.input(stop).addEventListener("change", () => {
      const step = Math.round(this.tools.hours(this.input(stop).value) / this.stepH);
      if (Number.isFinite(step)) this.put(stop, this.tools.moved(step, 0, this.last));
    });
  }

  input(stop) {
    return this.form.querySelector(`[name="stop${stop.dataset.stop}"]`);
  }

  by(stop, by) {
    this.put(stop, this.tools.moved(Number(stop.dataset.step), by, this.last));
  }

  put(stop, step) {
    if (Number(stop.dataset.step) !== step) this.stops.filter((one) => one !== stop).forEach((one) => this.spots.delete(one));
    stop.dataset.step = String(step);
    delete this.input(stop).dataset.refused; // what was typed stands until the lay-up is moved
    this.draw();
    this.know(stop);
  }

  /** The costs of every place of one stop, asked once for as long as the others stay. */
  async know(stop) {
    if (!this.spots.has(stop)) {
      const query = new URLSearchParams({ stop: stop.dataset.stop, steps: this.steps().join(",") });
      this.spots.set(stop, this.tools.ask(`${this.form.dataset.spots}?${query}`));
    }
    try {
      this.tell(stop, (await this.spots.get(stop)).spots);
    } catch (error) {
      this.spots.delete(stop);
      this.say(this.tools.say("The cost is not known: {why}. Try again.", { why: error.message }), true);
    }
  }

  tell(stop, spots) {
    const spot = this.tools.at(spots, Number(stop.dataset.step));
    if (!spot) return;
    stop.classList.toggle("refused", Boolean(spot.refused));
    stop.setAttribute("aria-valuetext", `${spot.said}, ${spot.refused ? this.tools.say("cannot go here") : spot.more}`);
    this.say(this.tools.said(stop.dataset.stop, spot, this.tools.say), Boolean(spot.refused));
  }

  say(text, refused) {
    this.told.textContent = text;
    this.told.classList.toggle("refused", refused);
  }

  steps() {
    return this.stops.map((stop) => Number(stop.dataset.step));
  }

  draw() {
    this.stops.forEach((stop) => {
      const step = Number(stop.dataset.step);
      stop.style.left = `${(100 * step) / this.last}%`;
      stop.setAttribute("aria-valuenow", String(step));
      const field = this.input(stop);
      if (field.dataset.refused === undefined) field.value = String(step * this.stepH);
    });
    const kept = document.querySelector("[data-keep] [data-steps]");
    if (kept) kept.value = this.steps().join(",");
  }
}
