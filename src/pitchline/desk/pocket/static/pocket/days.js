/* Days and hours of the day, in the page's language and by this phone's clock. */

import { say } from "../desk/say.js";

/** By hand: a browser's own way of writing days costs a slow phone a tenth of a second before the first of them stands there. */
const DAYS = [
  (day) => say("{day} Jan", { day }), (day) => say("{day} Feb", { day }), (day) => say("{day} Mar", { day }), (day) => say("{day} Apr", { day }),
  (day) => say("{day} May", { day }), (day) => say("{day} Jun", { day }), (day) => say("{day} Jul", { day }), (day) => say("{day} Aug", { day }),
  (day) => say("{day} Sep", { day }), (day) => say("{day} Oct", { day }), (day) => say("{day} Nov", { day }), (day) => say("{day} Dec", { day }),
];
const two = (number) => String(number).padStart(2, "0");
const dayOf = (when) => DAYS[when.getMonth()](when.getDate());

/** "10:42", or with its day where that is another than today */
export function moment(at) {
  const when = new Date(at);
  const time = `${two(when.getHours())}:${two(when.getMinutes())}`;
  return when.toDateString() === new Date().toDateString() ? time : `${dayOf(when)}, ${time}`;
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
