/* What the key "Delete" leaves, and where the caret is then: pure. */

/**
 * @param {string} text
 * @param {number} from where the selection begins
 * @param {number} to where it ends; the caret where both are the same
 * @returns {{text: string, at: number}} without what is selected, else without the letter before the caret, or after it at the front
 */
export function rubbed(text, from, to) {
  const [first, last] = from !== to ? [from, to] : from > 0 ? [from - 1, from] : [0, 1];
  return { text: text.slice(0, first) + text.slice(last), at: first };
}
