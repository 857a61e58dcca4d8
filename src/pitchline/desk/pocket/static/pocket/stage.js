/* One part of a walk-round as fields: the same lines as the desk's own walk-round has, made from the parcel. */
import { say } from "../desk/say.js";
import { el, upFirst } from "./el.js";

/**
 * @param {object} place of the parcel
 * @param {Record<string, {fields: Record<string, string>, told?: object}>} lines what was written, by key
 * @param {object} parcel
 * @param {string} unit lines nobody has written yet are read in
 */
export function stageOf(place, lines, parcel, unit) {
  const before = place.before ?? [];
  return el(
    "fieldset.bare.stage",
    { "data-place": place.key },
    el("legend.hidden", {}, place.name),
    place.readings.map((one) => readingLine(one, place, lines[one.key]?.fields ?? {}, parcel, unit)),
    place.readings.length === 0 && el("p", {}, say("Looked at only.")),
    place.seen.length > 0 &&
      el(
        "section.seen",
        { "aria-label": say("Seen on {part}", { part: place.name }) },
        el("h2", {}, say("What you see")),
        before.length > 0 && el("p.previous", {}, place.last_seen ?? before.map((one) => one.said).join("; ")),
        place.looked && nothingLine(place.looked, lines[place.looked]?.fields ?? {}),
        place.seen.map((one) => findingLine(one, lines[one.key]?.fields ?? {}, parcel.severities)),
      ),
  );
}

function box(one, place, n, fields, unit) {
  const name = n === 1 ? say("{what}, {part}, reading", { what: one.label, part: place.name }) : say("reading");
  return el(
    "label",
    {},
    el("span.hidden", {}, `${name} `),
    el("span.nth", {}, String(n)),
    el("input", {
      name: `${one.key}~${n}`, value: fields[n] ?? "", "data-box": true, inputmode: unit === "mm" ? "decimal" : "text", autocomplete: "off", size: 8,
    }),
  );
}

function readingLine(one, place, fields, parcel, unit) {
  const taken = fields.unit ?? one.unit ?? unit;
  const joints = fields.joints ?? String(one.joints ?? "");
  return el(
    "fieldset.line.reading",
    { "data-line": one.key, "data-label": one.label },
    el(one.spans ? "legend.hidden" : "legend", {}, upFirst(one.label)),
    el("input", { type: "hidden", name: `${one.key}~unit`, value: taken, "data-unit": true }),
    one.spans &&
      el(
        "label.over-joints",
        {},
        el("span", {}, el("b", {}, upFirst(one.what)), ": ", say("length over")),
        el("input", { name: `${one.key}~joints`, value: joints, "data-joints": true, inputmode: "numeric", autocomplete: "off", size: 4 }),
        one.key.startsWith("rubber_track") ? say("links") : say("joints"),
      ),
    el("div.boxes-in", {}, [1, 2, 3].map((n) => box(one, place, n, fields, taken)), el("span.unit", {}, taken)),
    el("div.state", { role: "status" }),
    el("div.warnings"),
    el(
      "label.keep",
      {},
      say("It is right, keep it because"),
      el("input", { name: `${one.key}~keep`, value: fields.keep ?? "" }),
    ),
    el("p.previous", {}, sizesOf(one, joints, taken)),
    el(
      "div.tool-line",
      {},
      el(
        "label",
        {},
        say("with"),
        el(
          "select",
          { name: `${one.key}~tool`, "data-tool": true },
          el("option", { value: "" }, say("tool not noted")),
          parcel.tools
            .filter(([name]) => name !== "unknown")
            .map(([name, label]) => el("option", { value: name, selected: name === fields.tool }, label)),
        ),
      ),
    ),
    el("input", { type: "hidden", name: `${one.key}~out`, value: "" }),
    el(
      "label.out",
      {},
      el("input", { type: "checkbox", name: `${one.key}~out`, value: "cannot be reached", "data-out": true, checked: Boolean(fields.out) }),
      el("span", {}, say("Cannot be reached"), el("span.hidden", {}, `: ${one.label}, ${place.name}`)),
    ),
    howOf(one, place, parcel),
  );
}

/** The sizes a reading is held against: last time, new, limit. */
export function sizesOf(one, joints, unit) {
  const sizes = one.sizes ?? [];
  if (one.unjudged && sizes.length === 0) return say("Kept, but not judged: no range is entered for it.");
  const told = sizes.map((size, n) => [
    n > 0 && " · ",
    `${size.name} `,
    el("b", { "data-each": size.each || false }, size.said),
    ` ${one.unit ?? unit}${size.after ? ` ${size.after}` : ""}`,
  ]);
  return one.spans && joints ? [over(one, joints), ...told] : told;
}

/** "Over 4 joints: ", the number by itself, so that it follows the field. */
function over(one, joints) {
  const told = one.key.startsWith("rubber_track") ? say("Over {n} links:", { n: "\u0000" }) : say("Over {n} joints:", { n: "\u0000" });
  const [before, after] = told.split("\u0000");
  return [before, el("span", { "data-over": true }, joints), `${after} `];
}

export function howOf(one, place, parcel) {
  const how = parcel.hows?.[one.key.split(":").pop()];
  if (!how) return null;
  return el(
    "details.how",
    {},
    el("summary", {}, say("How it is read"), el("span.hidden", {}, `: ${one.label}, ${place.name}`)),
    el("p", {}, how.how),
    how.picture && el("figure.measured", {}, el("img", { src: how.picture, alt: how.said ?? "", width: 160 })),
  );
}

function nothingLine(key, fields) {
  return el(
    "fieldset.line.nothing",
    { "data-line": key },
    el("legend.hidden", {}, say("Looked over")),
    el("input", { type: "hidden", name: `${key}~looked`, value: "" }),
    el(
      "label.tap",
      {},
      el("input", { type: "checkbox", name: `${key}~looked`, value: "looked", "data-looked": true, checked: Boolean(fields.looked) }),
      el("span", {}, say("Nothing seen on this part")),
    ),
    el("p.state", { role: "status" }),
  );
}

function findingLine(one, fields, severities) {
  const counted = one.pattern.startsWith("counted");
  const many = { name: `${one.key}~many`, value: fields.many ?? (counted ? "" : "1"), inputmode: "numeric", autocomplete: "off", size: 3 };
  const choice = (value, label) =>
    el(
      "label",
      {},
      el("input", { type: "radio", name: `${one.key}~bad`, value, checked: fields.bad === value }),
      el("span", {}, label),
    );
  const option = (value, label) => el("option", { value, selected: (fields.one ?? "") === value }, label);
  return el(
    counted ? "fieldset.line.finding.counted" : "fieldset.line.finding",
    { "data-line": one.key },
    el("legend", {}, upFirst(one.label)),
    counted &&
      el("div.number", {}, el("label", {}, say("how many"), el("input", { ...many, "data-many": true, placeholder: " " }))),
    el(
      "div.taps",
      {},
      counted && el("p.help", {}, say("How bad, taken from the number unless you say otherwise:")),
      choice("", say("no")),
      severities.map(([code, label]) => choice(code, label)),
    ),
    el(
      "div.more",
      {},
      one.piece &&
        el(
          "label",
          {},
          say("two or more on one {piece}", { piece: one.piece }),
          el("select", { name: `${one.key}~one` }, option("", say("not said")), option("yes", say("yes")), option("no", say("no"))),
        ),
      !counted && one.several && el("label", {}, say("how many"), el("input", many)),
      el("label.grow", {}, say("note"), el("input", { name: `${one.key}~note`, value: fields.note ?? "" })),
    ),
    el("p.state", { role: "status" }),
  );
}

/** What a line says by the short names of its fields. */
export function saidBy(pairs) {
  return Object.fromEntries(pairs.map(([name, value]) => [name.slice(name.lastIndexOf("~") + 1), value]));
}
