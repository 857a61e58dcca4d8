/* Days as Settings have them, and hours of the day, by this phone's clock. */

const { lang: language, dataset: { days } } = document.documentElement;
const time = new Intl.DateTimeFormat(language, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const month = new Intl.DateTimeFormat(language, { month: "short" });

function said(when) {
  const [day, year] = [when.getDate(), when.getFullYear()];
  if (days === "iso") return dayData(when);
  return days === "month-day" ? `${month.format(when)} ${day}, ${year}` : `${day} ${month.format(when)} ${year}`;
}

/** "10:42", or with its day where that is another than today */
export function moment(at) {
  const when = new Date(at);
  const today = when.toDateString() === new Date().toDateString();
  return today ? time.format(when) : `${said(when)}, ${time.format(when)}`;
}

/** A day written as data: "2026-11-30". */
export function dayData(when) {
  return [when.getFullYear(), when.getMonth() + 1, when.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
}

/** A day of data as people write it. */
export function daySaid(data) {
  const when = new Date(`${data}T12:00`);
  return Number.isNaN(when.getTime()) ? data : said(when);
}
