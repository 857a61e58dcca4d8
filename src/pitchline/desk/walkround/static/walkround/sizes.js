/* Sizes to compare a length over joints with, told over the number of joints that stands in the field. */

/** @returns {string} a size over so many joints, with as many decimals and the same mark as `like` */
export function over(each, joints, like) {
  const [, mark = ".", decimals = ""] = like.match(/([.,])(\d+)$/) ?? [];
  return (each * joints).toFixed(decimals.length).replace(".", mark);
}

export function watchJoints(form) {
  form.addEventListener("input", (event) => {
    const joints = Number(event.target.value);
    if (!event.target.matches("[data-joints]") || !Number.isInteger(joints) || joints < 1) return;
    const line = event.target.closest("[data-line]");
    line.querySelectorAll("[data-over]").forEach((span) => (span.textContent = String(joints)));
    line.querySelectorAll("[data-each]").forEach((size) => (size.textContent = over(Number(size.dataset.each), joints, size.textContent)));
  });
}
