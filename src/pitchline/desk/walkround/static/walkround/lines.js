/* What stands on a page many times stands in it once, as a pattern: each mark becomes a copy with its own words put in. */
import { say } from "../desk/say.js";

const WORDS = /0(key|label|place)0/g;

/** Every mark becomes what it marks; before this nobody looks for lines. Nothing is asked of the desk: it works without a signal. */
export function writeOut(page) {
  fillShort(page);
  page.querySelectorAll("[data-marks]").forEach(spread);
  const patterns = new Map([...page.querySelectorAll("template[data-pattern]")].map((one) => [one.dataset.pattern, one.content]));
  page.querySelectorAll("[data-mark]").forEach((mark) => {
    const copy = patterns.get(mark.dataset.mark).firstElementChild.cloneNode(true);
    putIn(copy, { ...mark.dataset, place: mark.dataset.place ?? placeOf(mark) });
    finish[mark.dataset.mark](copy, mark, page);
    mark.replaceWith(copy);
  });
  page.querySelectorAll("[data-without-script]").forEach((one) => one.remove());
  page.addEventListener("toggle", (event) => showPicture(event.target, page), true);
  addEventListener("load", () => fetchPictures(page), { once: true });
}

/** The small picture stands in the page once; who opens how a line is read sees a copy, and the way to the primer. */
function showPicture(how, page) {
  if (!how.matches(".how[open]") || how.querySelector("figure")) return;
  const quantity = how.closest("[data-line]").dataset.line.split(":").pop();
  const picture = page.querySelector("template[data-hows]").content.querySelector(`[data-how="${quantity}"] + figure`);
  if (picture) how.append(picture.cloneNode(true));
  how.insertAdjacentHTML("beforeend", `<a href="/primer/measuring/#${quantity}">${say("In the primer")}</a>`);
}

/** While there is a signal. */
function fetchPictures(page) {
  page.querySelector("template[data-hows]")?.content.querySelectorAll("img").forEach(({ src }) => { new Image().src = src; });
}

const finish = {
  reading(line, mark, page) {
    line.querySelector(".previous").replaceChildren(...mark.childNodes);
    line.querySelector(".how p").textContent = howOf(page, mark.dataset.how);
    if ("spans" in mark.dataset) {
      line.querySelector("[data-joints]").value = mark.dataset.joints;
      line.querySelector("[data-bare]").textContent = mark.dataset.spans;
    } else {
      line.querySelector(".over-joints").remove();
      line.querySelector("legend").classList.remove("hidden");
    }
    headUp(line);
  },
  finding: headUp,
  alone: headUp,
  counted: headUp,
  "counted-shoe": headUp,
  "counted-pad": headUp,
  nothing: () => {},
  photos(details, mark) {
    details.querySelector("[name=send_id]").value = mark.dataset.send;
  },
};

/** One mark for everything that may be seen on a part becomes one for each: "leak:alone", and its name where that is another. */
function spread(marks) {
  const single = marks.dataset.marks.split(" ").map((kind) => {
    const mark = document.createElement("i");
    const [name, pattern, called] = kind.split(":");
    mark.dataset.mark = pattern;
    mark.dataset.key = `${marks.dataset.of}:${name}`;
    mark.dataset.label = say((called ?? name).replaceAll("_", " "));
    return mark;
  });
  marks.replaceWith(...single);
}

/** Lines that were written stand in full but for what they share: the tools to choose from, and how the quantity is read. */
function fillShort(page) {
  page.querySelectorAll("select[data-short]").forEach((select) => {
    const tool = select.value;
    select.replaceChildren(...page.querySelector("template[data-pattern=reading]").content.querySelector("select").cloneNode(true).children);
    select.value = tool;
  });
  page.querySelectorAll("form p[data-how]:not([data-mark])").forEach((short) => {
    const how = page.querySelector("template[data-pattern=reading]").content.querySelector(".how").cloneNode(true);
    putIn(how, { label: short.closest("[data-line]").dataset.label, place: placeOf(short) });
    how.querySelector("p").textContent = howOf(page, short.dataset.how);
    short.replaceWith(how);
  });
}

/** Name of the part a line is for. */
function placeOf(element) {
  return element.closest(".stage, .place").querySelector("legend, h2").textContent;
}

function howOf(page, quantity) {
  return page.querySelector("template[data-hows]").content.querySelector(`[data-how="${quantity}"]`).textContent;
}

function headUp(line) {
  const legend = line.querySelector("legend");
  legend.textContent = legend.textContent[0].toUpperCase() + legend.textContent.slice(1);
}

/** @param {Element} copy  @param {Record<string, string>} words */
function putIn(copy, words) {
  const put = (text) => text.replace(WORDS, (_, name) => words[name]);
  [copy, ...copy.querySelectorAll("*")].forEach((element) => {
    [...element.attributes].forEach((one) => {
      if (one.value.includes("0")) element.setAttribute(one.name, put(one.value));
    });
  });
  const texts = document.createTreeWalker(copy, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) texts.currentNode.data = put(texts.currentNode.data);
}
