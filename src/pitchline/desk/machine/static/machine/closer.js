/* The wear record point by point: the chart library is fetched only when somebody looks closer. */
import { say } from "../desk/say.js";
import { marked } from "./marked.js";

const CHART = document.querySelector("script[data-uplot]").dataset;

function fetchChart() {
  if (window.uPlot) return Promise.resolve();
  return new Promise((done, failed) => {
    const style = Object.assign(document.createElement("link"), { rel: "stylesheet", href: CHART.uplotCss });
    const script = Object.assign(document.createElement("script"), { src: CHART.uplot, onload: done, onerror: failed });
    document.head.append(style, script);
  });
}

function tone(name) {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

function series(line) {
  const lines = {
    read: { stroke: tone("--ink"), paths: () => null, points: { show: true, size: 9, fill: tone("--ink") } },
    middle: { stroke: tone("--ink"), width: 2 },
    edge: { stroke: tone("--grey"), width: 1 },
    limit: { stroke: tone("--accent"), width: 2, dash: [10, 4, 2, 4] },
    new: { stroke: tone("--grey"), width: 1, dash: [6, 4] },
    turn: { stroke: tone("--ink"), width: 1, dash: [2, 3] },
  };
  return { label: line.label, spanGaps: true, points: { show: false }, ...lines[line.kind] };
}

function hoursSaid(hours, marks) {
  return `${marked(Math.round(hours).toLocaleString("en-GB"), marks)} h`;
}

function settings(told, wide) {
  const axis = { stroke: tone("--ink"), grid: { stroke: tone("--hair"), width: 1 }, ticks: { stroke: tone("--hair") } };
  const size = (value) => (value == null ? "–" : `${marked(value.toFixed(told.digits), told.marks)} ${told.unit}`);
  const ofTicks = (chart, ticks) => ticks.map((tick) => marked(tick.toLocaleString("en-GB"), told.marks));
  return {
    width: wide,
    height: Math.min(420, Math.max(260, wide * 0.5)),
    scales: { x: { time: false } },
    axes: [
      { ...axis, values: (chart, ticks) => ticks.map((tick) => hoursSaid(tick, told.marks)) },
      { ...axis, values: ofTicks, size: 64, label: told.unit, labelSize: 20 },
    ],
    series: [
      { label: say("service hours"), value: (chart, value) => (value == null ? "–" : hoursSaid(value, told.marks)) },
      ...told.lines.map((line) => ({ ...series(line), value: (chart, value) => size(value) })),
    ],
  };
}

function said(told, at) {
  const parts = told.lines.filter((line) => line.sizes[at] != null).map((line) => `${line.label} ${marked(String(line.sizes[at]), told.marks)} ${told.unit}`);
  return `${hoursSaid(told.hours[at], told.marks)}: ${parts.join(", ")}`;
}

function byKeys(area, chart, told, tell) {
  let at = told.hours.findIndex((hour) => hour >= told.now_h);
  const zoom = (times) => {
    const { min, max } = chart.scales.x;
    const middle = told.hours[at];
    chart.setScale("x", { min: middle - (middle - min) * times, max: middle + (max - middle) * times });
  };
  const keys = {
    ArrowRight: () => (at = Math.min(at + 1, told.hours.length - 1)),
    ArrowLeft: () => (at = Math.max(at - 1, 0)),
    "+": () => zoom(0.6),
    "-": () => zoom(1 / 0.6),
  };
  area.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (!act) return;
    event.preventDefault();
    act();
    chart.setCursor({ left: chart.valToPos(told.hours[at], "x"), top: 10 });
    tell(said(told, at));
  });
}

async function open(box) {
  const told = JSON.parse(document.getElementById(box.dataset.closer).textContent);
  const area = box.querySelector(".closer-chart");
  const tell = (words) => (box.querySelector(".closer-said").textContent = words);
  try {
    await fetchChart();
  } catch {
    tell(say("The chart could not be fetched. The drawing above and the table below say the same."));
    return;
  }
  area.hidden = false;
  const data = [told.hours, ...told.lines.map((line) => line.sizes)];
  const chart = new window.uPlot(settings(told, area.clientWidth), data, area);
  new ResizeObserver(() => chart.setSize({ width: area.clientWidth, height: chart.height })).observe(area);
  byKeys(area, chart, told, tell);
  tell(say("Drag across the chart to look closer, double tap to see it all again."));
  area.focus();
}

for (const box of document.querySelectorAll("[data-closer]")) {
  const button = box.querySelector("button");
  button.hidden = false;
  button.addEventListener("click", () => {
    button.hidden = true;
    open(box);
  });
}
