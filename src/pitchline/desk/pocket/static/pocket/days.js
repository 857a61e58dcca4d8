/* Days and hours of the day, in the page's language and by this phone's clock. */

const language = document.documentElement.lang;
const time = new Intl.DateTimeFormat(language, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const day = new Intl.DateTimeFormat(language, { day: "numeric", month: "short" });

/** "10:42", or with its day where that is another than today */
export function moment(at) {
  const when = new Date(at);
  const today = when.toDateString() === new Date().toDateString();
  return today ? time.format(when) : `${day.format(when)}, ${time.format(when)}`;
}

/** A day written as data: "2026-11-30". */
export function dayData(when) {
  return [when.getFullYear(), when.getMonth() + 1, when.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
}

/** A day of data as people write it. */
export function daySaid(data) {
  const when = new Date(`${data}T12:00`);
  return Number.isNaN(when.getTime()) ? data : day.format(when);
}
