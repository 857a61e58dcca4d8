/* Naming a part on a photo: tapped on the photo, or typed; what is typed is drawn at once. The fields alone do it, too. */

import { say } from "../desk/say.js";

const SVG = "http://www.w3.org/2000/svg";
const ENDS = ["tip", "at"];

function begin(form, photo) {
  const field = (name) => form.elements.namedItem(name);
  const next = form.querySelector("[data-next]");
  const drawn = photo.appendChild(document.createElementNS(SVG, "svg"));
  drawn.classList.add("names", "naming-now");
  drawn.setAttribute("viewBox", "0 0 100 100");
  drawn.setAttribute("preserveAspectRatio", "none");
  drawn.setAttribute("aria-hidden", "true");
  let turn = 0;

  const shape = (name, values) => {
    const made = drawn.appendChild(document.createElementNS(SVG, name));
    Object.entries(values).forEach(([key, value]) => made.setAttribute(key, value));
  };

  const draw = () => {
    const [tipX, tipY, atX, atY] = ["tip_x", "tip_y", "at_x", "at_y"].map((name) => Number(field(name).value));
    drawn.replaceChildren();
    for (const kind of ["under", "over"]) {
      shape("line", { x1: atX, y1: atY, x2: tipX, y2: tipY, class: kind });
      shape("line", { x1: tipX, y1: tipY, x2: tipX, y2: tipY, class: `${kind} end` });
    }
  };

  const tell = () => {
    next.textContent = [say("Tap the part on the photo, or type where it is in percent."), say("Now tap where its name is to stand."), say("Save it; or tap again, the part first.")][turn];
  };

  photo.addEventListener("click", (event) => {
    if (!fold.open) return;
    event.preventDefault();
    const room = photo.querySelector("img").getBoundingClientRect();
    const end = ENDS[turn % 2];
    const share = (from, all) => String(Math.min(100, Math.max(0, Math.round((100 * from) / all))));
    field(`${end}_x`).value = share(event.clientX - room.left, room.width);
    field(`${end}_y`).value = share(event.clientY - room.top, room.height);
    turn = turn % 2 === 0 ? 1 : 2;
    draw();
    tell();
  });
  form.addEventListener("input", draw);
  const fold = form.closest("details");
  const show = () => {
    drawn.style.display = fold.open ? "" : "none";
  };
  fold.addEventListener("toggle", show);
  show();
  draw();
  tell();
}

const form = document.querySelector(".naming-form");
const photo = document.querySelector(".under-names");
if (form && photo) begin(form, photo);
