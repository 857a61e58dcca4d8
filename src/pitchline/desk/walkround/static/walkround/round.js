/* One part at a time, in walking order, without asking the desk for a page: it goes on without a signal. */

import { say } from "../desk/say.js";

export function startRound(form, asking) {
  const stages = [...document.querySelectorAll(".stage")];
  const ways = form.querySelector("[data-ways]");
  const numberOf = (stage) => stages.indexOf(stage);
  const shown = () => stages.find((stage) => !stage.hidden);
  const nameOf = (stage) => stage.dataset.name;
  const title = document.querySelector("[data-part-name]");
  let arrived = () => {};
  stages.forEach((stage) => (stage.disabled = false));

  /** @param {number} way 1 onwards, -1 back, 0 straight there */
  function show(stage, push, way = 0) {
    if (stage !== shown()) document.querySelector(".told")?.remove();
    display(stage);
    if (push) history.pushState({}, "", stage.dataset.address);
    window.scrollTo(0, 0);
    title.focus({ preventScroll: true });
    arrived(way);
  }

  function display(stage) {
    stages.forEach((each) => (each.hidden = each !== stage));
    document.querySelectorAll("[data-photos-of]").forEach((each) => (each.hidden = each.dataset.photosOf !== stage.dataset.place));
    const [at, last] = [numberOf(stage), stages.length - 1];
    const number = at < last ? say("Part {n} of {last}", { n: at + 1, last }) : say("After the last part");
    document.querySelectorAll("[data-number]").forEach((span) => (span.textContent = number));
    document.documentElement.classList.toggle("at-end", at === last);
    label("back", stages[at - 1]);
    label("on", stages[at + 1]);
    mark(stage);
    clearBar();
    document.title = document.title.replace(title.textContent, () => nameOf(stage));
    title.textContent = nameOf(stage);
  }

  /** What stands fixed at the top hides nothing that is scrolled to. */
  function clearBar() {
    const bar = document.querySelector("[data-here-bar]");
    document.documentElement.style.setProperty("--bar", `${bar.offsetHeight}px`);
  }

  function label(go, stage) {
    const button = ways.querySelector(`[data-go="${go}"]`);
    button.hidden = go === "on" && !stage;
    button.querySelector("[data-name]").textContent = stage ? nameOf(stage) : say("Day, hours, who");
  }

  function go(by) {
    const stage = stages[numberOf(shown()) + by];
    if (stage) show(stage, true, by);
    else leave();
  }

  ways.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-go]");
    if (!button) return;
    event.preventDefault();
    if (button.dataset.go === "back") return go(-1);
    const asks = await asking.asks([...shown().querySelectorAll("[data-line]")]);
    if (asks) asking.ask(asks);
    else go(1);
  });

  /** Before the first part: to day and hours, by an ordinary link; what waits is kept in this browser. */
  function leave() {
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
  display(shown());
  new ResizeObserver(() => {
    clearBar();
    // The head grows by what could not be saved, and must not cover the very field that is about.
    if (document.activeElement.closest("[data-line]")) document.activeElement.scrollIntoView({ block: "nearest" });
  }).observe(document.querySelector("[data-here-bar]"));
  return {
    shown,
    go,
    clearBar,
    whenShown: (then) => (arrived = then),
    showLine: (line) => show(line.closest(".stage"), true),
  };
}

function mark(stage) {
  const route = document.querySelector("[data-route]");
  if (!route) return;
  const { atSide, spot, x, y } = stage.dataset;
  route.querySelectorAll("[data-side]").forEach((side) => side.classList.toggle("away-side", side.dataset.side !== atSide));
  route.querySelectorAll(".at").forEach((shape) => shape.classList.remove("at"));
  route.toggleAttribute("data-away", !x);
  if (spot) route.querySelectorAll(`[data-side="${atSide}"] [data-spot="${spot}"]`).forEach((shape) => shape.classList.add("at"));
  if (x) route.querySelector("[data-here]").setAttribute("transform", `translate(${x} ${y})`);
}
