/* Elements in a line: `el("p.soft", { id: "x" }, "text", other)`. */

/**
 * @param {string} what tag and classes, such as "p.soft"
 * @param {Record<string, unknown>} about attributes; a function under "onclick" and the like listens; false and null leave out
 * @param {...unknown} inside nodes and texts, lists of them too; null and false leave out
 */
export function el(what, about = {}, ...inside) {
  const [tag, ...classes] = what.split(".");
  const made = document.createElement(tag);
  if (classes.length > 0) made.className = classes.join(" ");
  Object.entries(about).forEach(([name, value]) => {
    if (typeof value === "function") made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, String(value));
  });
  made.append(...inside.flat(9).filter((one) => one !== null && one !== undefined && one !== false && one !== ""));
  return made;
}

/** A drawing the desk made. */
export function drawn(svg) {
  const holder = document.createElement("template");
  holder.innerHTML = svg;
  return holder.content.firstElementChild;
}

export function upFirst(text) {
  return text && text[0].toUpperCase() + text.slice(1);
}
