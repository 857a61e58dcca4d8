/* How a figure is written: the marks of the business, which the desk hands on; pure. */

/** @returns {string} a figure such as "1,234.5" with its marks of thousands and decimals put in their place */
export function marked(figure, [group, decimal]) {
  return figure.replace(/[,.]/g, (mark) => (mark === "," ? group : decimal));
}
