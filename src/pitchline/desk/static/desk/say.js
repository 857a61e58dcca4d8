/* What scripts say, in the page's language: another than English comes with the page as `#words`. */

const brought = globalThis.document?.getElementById("words");
const WORDS = brought ? JSON.parse(brought.textContent) : {};

function put(text, values) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

/** @param {string} text in English, with `{name}` for each value  @param {Record<string, string | number>} values */
export function say(text, values = {}) {
  return put(WORDS[text] ?? text, values);
}

/** The same with a count `{n}`: of one and of several. A language says for 0 to 199 which of its forms is meant; then it begins anew. */
export function counted(one, more, n, values = {}) {
  const known = WORDS[more];
  const text = known?.forms ? known.forms[known.of[n < 200 ? n : 100 + (n % 100)]] : n === 1 ? one : more;
  return put(text, { n, ...values });
}
