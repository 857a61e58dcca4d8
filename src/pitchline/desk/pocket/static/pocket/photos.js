/* Photos of a part or a machine: the buttons that take one, and those that wait on this phone. */
import { say } from "../desk/say.js";
import { smaller } from "../desk/smaller.js";
import { el } from "./el.js";
import { isLow, roomHere, sizeSaid } from "./room.js";

/**
 * @param {{machine: string, sheet: string | null, place: string}} about
 * @param {string} name of what is on them
 * @param {ReturnType<typeof import("./lamp.js").lampHere>} lamp stands beside the camera's key, and goes out for a photo
 */
export function photosOf(app, about, name, lamp = null) {
  const told = el("p.state", { role: "status" });
  const shown = el("ul.kept-photos");
  const section = el(
    "section.stage-photos",
    { "aria-label": say("Photos of {part}", { part: name }), "data-photos-of": about.place, onclick: ({ target }) => target.matches("[name=camera]") && lamp?.putOut() },
    el(
      "p.acts",
      {},
      chooser(say("Take a photo"), name, { name: "camera", capture: "environment" }, (files) => take(app, about, files, told).then(fill)),
      chooser(say("From this phone"), name, { multiple: true }, (files) => take(app, about, files, told).then(fill)),
      lamp?.key,
    ),
    lamp?.told,
    told,
    shown,
  );
  const fill = async () => {
    const waiting = await app.store.photosOf(about);
    shown.replaceChildren(...waiting.map((one, n) => shownPhoto(one, n + 1, name)));
  };
  fill();
  return section;
}

function chooser(text, name, about, taken) {
  const choose = async (event) => {
    const files = [...event.target.files];
    await taken(files);
    event.target.value = "";
  };
  return el("label.button.file", {}, text, el("span.hidden", {}, `: ${name}`), el("input.hidden", { type: "file", accept: "image/*", ...about, onchange: choose }));
}

function shownPhoto(record, n, name) {
  const address = URL.createObjectURL(record.file);
  const image = el("img", { src: address, alt: say("Photo {n} of {part}", { n, part: name }), onload: () => URL.revokeObjectURL(address) });
  return el("li", {}, image, el("span.soft", {}, say("waits in this phone, {size}", { size: sizeSaid(record.file.size) })));
}

async function take(app, about, files, told) {
  for (const file of files) {
    told.textContent = say("Making it smaller …");
    const made = await smaller(file);
    if (!/^image\//.test(made.type)) {
      told.textContent = say("This file is no picture; it was not kept.");
      return;
    }
    const { left } = await roomHere();
    if (left !== null && left < 2 * made.size) {
      app.noRoom();
      told.textContent = "";
      return;
    }
    const record = await app.keep(() => app.store.add("photo", { photo: crypto.randomUUID(), ...about, caption: "" }, { file: made }));
    told.textContent = record ? say("Photo kept in this phone.") : "";
    if (!record) return;
    if (isLow(left)) told.textContent = say("Photo kept in this phone. Only {size} are left on it: send what waits soon.", { size: sizeSaid(left) });
    app.sender.hurry();
  }
}
