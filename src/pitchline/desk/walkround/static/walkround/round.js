/* One part at a time, in walking order, without asking the desk for a page: it goes on without a signal. */

export function startRound(form) {
  const stages = [...form.querySelectorAll(".stage")];
  const ways = form.querySelector("[data-ways]");
  const numberOf = (stage) => stages.indexOf(stage);
  const shown = () => stages.find((stage) => !stage.hidden);
  const nameOf = (stage) => stage.querySelector("legend").textContent;
  const title = document.querySelector("[data-part-name]");
  stages.forEach((stage) => (stage.disabled = false));

  function show(stage, push, focus = true) {
    stages.forEach((each) => (each.hidden = each !== stage));
    document.querySelectorAll("[data-photos-of]").forEach((each) => (each.hidden = each.dataset.photosOf !== stage.dataset.place));
    const at = numberOf(stage);
    document.querySelectorAll("[data-number]").forEach((span) => (span.textContent = `Part ${at + 1} of ${stages.length}`));
    label("back", stages[at - 1], "Day, hours, who");
    label("on", stages[at + 1], "The whole sheet");
    mark(stage);
    if (push) history.pushState({}, "", stage.dataset.address);
    document.title = document.title.replace(/^[^]*?(?=, walk-round of )/, nameOf(stage));
    title.textContent = nameOf(stage);
    if (!focus) return;
    window.scrollTo(0, 0);
    title.focus({ preventScroll: true });
  }

  function label(go, stage, otherwise) {
    const button = ways.querySelector(`[data-go="${go}"]`);
    button.querySelector("[data-name]").textContent = stage ? nameOf(stage) : otherwise;
  }

  /** @returns {boolean} whether there was a part to go to */
  function go(by) {
    const stage = stages[numberOf(shown()) + by];
    if (stage) show(stage, true);
    return Boolean(stage);
  }

  ways.addEventListener("click", (event) => {
    const button = event.target.closest("[data-go]");
    if (!button) return;
    if (go(button.dataset.go === "on" ? 1 : -1)) event.preventDefault();
    else leave(event);
  });

  /** Past the first or last part: to the whole sheet, by an ordinary link; what waits is kept in this browser. */
  function leave(event) {
    event?.preventDefault();
    location.assign(form.dataset.sheet.replace(/save\/$/, ""));
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-jump]");
    const stage = link && stages.find((each) => each.dataset.place === link.dataset.jump);
    if (!stage) return;
    event.preventDefault();
    show(stage, true);
  });
  window.addEventListener("popstate", () => {
    const stage = stages.find((each) => location.pathname === decodeURI(each.dataset.address));
    if (stage) show(stage, false);
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  show(shown(), false, false);
  return { shown, go, leave };
}

function mark(stage) {
  const route = document.querySelector("[data-route]");
  if (!route) return;
  const { atSide, spot, x, y } = stage.dataset;
  route.querySelectorAll("[data-side]").forEach((side) => side.classList.toggle("away-side", side.dataset.side !== atSide));
  route.querySelectorAll(".at").forEach((shape) => shape.classList.remove("at"));
  if (spot) route.querySelectorAll(`[data-side="${atSide}"] [data-spot="${spot}"]`).forEach((shape) => shape.classList.add("at"));
  if (x) route.querySelector("[data-here]").setAttribute("transform", `translate(${x} ${y})`);
}
