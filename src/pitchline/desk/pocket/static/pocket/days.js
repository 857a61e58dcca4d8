/* Days as Settings have them, and hours of the day, by this phone's clock. */

import { counted, say } from "../desk/say.js";

const two = (number) => String(number).padStart(2, "0");

/** By hand: a browser's own way of writing days costs a slow phone a tenth of a second before the first of them stands there. */
function dayOf(when) {
  const { days } = document.documentElement.dataset;
  if (days === "iso") return dayData(when);
  const month = say("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec").split(" ")[when.getMonth()];
  const [day, year] = [when.getDate(), when.getFullYear()];
  return days === "month-day" ? `${month} ${day}, ${year}` : `${day} ${month} ${year}`;
}

/** "10:42", or with its day where that is another than today */
export function moment(at) {
  const when = new Date(at);
  const time = `${two(when.getHours())}:${two(when.getMinutes())}`;
  return when.toDateString() === new Date().toDateString() ? time : `${dayOf(when)}, ${time}`;
}

/** @param {number} ms @returns {string} how long, in the unit one would say it in */
export function lastedSaid(ms) {
  const [minutes, hours, days] = [60000, 3600000, 86400000].map((unit) => Math.round(ms / unit));
  if (minutes < 120) return counted("{n} minute", "{n} minutes", minutes);
  return hours < 48 ? counted("{n} hour", "{n} hours", hours) : counted("{n} day", "{n} days", days);
}

/** A day written as data: "2026-11-30". */
export function dayData(when) {
  return [when.getFullYear(), when.getMonth() + 1, when.getDate()].map(two).join("-");
}

/** A day of data as people write it. */
export function daySaid(data) {
  const when = new Date(`${data}T12:00`);
  return Number.isNaN(when.getTime()) ? data : dayOf(when);
}
