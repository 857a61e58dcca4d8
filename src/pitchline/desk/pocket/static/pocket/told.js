/* What is told of a reading where no desk answers: its share of life, and what looks wrong about it.

   No figure and no sentence is its own: what it compares with comes with the machine, made by the core (`wear/told_table.py`,
   `desk/pocket/told.py`). It holds the order in which things are asked, as `wear/plausibility.py` says it; a test holds both
   together. What it cannot read is left to the desk. */

const NUMBER = String.raw`[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)`;
const QUANTITY = new RegExp(
  String.raw`^\s*(?:(${NUMBER})(?:[\s-]+(\d+)\s*/\s*(\d+))?|(\d+)\s*/\s*(\d+))\s*([^\d\s.,/+-]*)\.?\s*$`,
);
const LEAD = /^\s*[+-]?([1-9][0-9]{0,2}(?:[.,'\u2019 \u00a0\u2009\u202f][0-9]{3})+(?:[.,][0-9]+)?)(?![0-9.,])(?!\s*\/)/;
const MARKS = /[.,'\u2019 \u00a0\u2009\u202f]/g;
const THOUSAND = /^[+-]?\d{1,3}[.,]000$/;
const PLAIN = /^\s*(\d+(?:[.,]\d+)?)\s*(?:[a-zA-Z]+|["”″'′])?\.?\s*$/;
const NEEDLESS_ZERO = /^0\d/;
const JOINTS = 0, PER_JOINT = 1, INCHES = 2, MILLIMETRES = 3, DECIMAL = 4, SWAPPED = 5;
const EVERY_SLIP = [JOINTS, PER_JOINT, INCHES, MILLIMETRES, DECIMAL, SWAPPED], FACTORS = [INCHES, MILLIMETRES, DECIMAL];
const BOXES = ["1", "2", "3"];

/**
 * @param {object} book what comes with the machine
 * @param {Record<string, object>} lines what comes with each line, by its key, in walking order
 * @param {Record<string, Record<string, string>>} typed the fields of each line that somebody wrote
 * @returns {Record<string, object>} what is told of each line on which something was read
 */
export function tell(book, lines, typed) {
  const told = {}, looked = [];
  for (const [key, line] of Object.entries(lines)) {
    if (!line || !BOXES.some((box) => typed[key]?.[box]?.trim())) continue;
    const table = book.tables[line.t], reading = readingOf(book, table, typed[key]);
    told[key] = { unread: reading.unread ?? "", each_m: reading.value ?? null, used: null, past: false, said: "", doubts: [] };
    if (reading.unread) continue;
    const [place, quantity] = key.split(":"), [part, side, position] = place.split("/");
    looked.push({ key, book, rules: book.rules, line, table, reading, part, side, position, quantity });
  }
  looked.forEach((one) => "most" in one.table || weigh(one, looked));
  for (const one of looked) {
    const setting = "most" in one.table, alike = looked.filter((other) => isAlike(one, other));
    const asked = setting ? askedOfSetting(one) : askedOf(one, alike);
    const doubts = asked.map((doubt) => doubtSaid(one, doubt));
    Object.assign(told[one.key], { doubts }, doubts.some((doubt) => doubt.held) ? {} : setting ? range(one) : share(one));
  }
  return told;
}

/* --- What was typed --- */

/** A length as typed, or nothing where it cannot be read. */
function lengthOf(book, text, unit) {
  const found = QUANTITY.exec(text);
  if (!found || text.length > book.longest) return null;
  const [, whole, over, under, num = over, den = under, written] = found;
  const low = written.toLowerCase(), said = Object.hasOwn(book.spellings, low) ? book.spellings[low] : low || unit;
  const isOpen = (num && /[.,]/.test(whole ?? "")) || (num && Number(den) === 0) || (said === "mm" && THOUSAND.test(whole ?? ""));
  if (!Object.hasOwn(book.units, said) || isOpen) return null;
  const amount = Number((whole ?? "0").replace(",", ".")) + (num ? Number(num) / Number(den) : 0);
  const per = book.units[said], si = amount * per;
  return si <= book.most && !text.trimStart().startsWith("-") ? { text, unit: said, per, si } : null;
}

/** The text without a thousands mark, as the desk keeps it; nothing where only the desk can tell which mark it is. */
function withoutMarks(book, text, unit, [least, most]) {
  const found = LEAD.exec(text);
  if (!found) return text;
  const marks = found[1].match(MARKS), mark = marks[0];
  if (marks.length > 1) return null;
  const whole = text.replace(mark, "");
  if (!".,".includes(mark)) return whole;
  const part = text.replace(`${mark}000`, ""), isThousands = mark === book.group;
  const likely = [whole, part].filter((each) => {
    const size = lengthOf(book, each, unit);
    return size && (size.unit === "mm" ? size.si >= least && size.si <= most : LEAD.test(each));
  });
  return likely.length === 1 ? likely[0] : isThousands ? whole : part;
}

function readingOf(book, table, fields) {
  const unit = fields.unit || book.unit, kept = (fields.keep ?? "").trim();
  const name = (fields.tool ?? "").trim() || "unknown", tool = Object.hasOwn(book.tools, name) ? book.tools[name] : null;
  const joints = table.spans ? Number(/^\d{1,6}$/.exec((fields.joints ?? "").trim())?.[0] ?? 0) : 1;
  if (table.spans && !(joints >= 1 && joints <= book.joints)) return { unread: book.words.joints };
  const bounds = table.bounds.map((size) => size * joints), typed = [];
  for (const box of BOXES) {
    const text = (fields[box] ?? "").trim();
    if (!text) continue;
    const bare = withoutMarks(book, text, unit, bounds), size = bare === null ? null : lengthOf(book, bare, unit);
    if (!size || !tool) return { unread: book.words.unread };
    typed.push({ ...size, box });
  }
  const repeats = typed.map((one) => one.si), whole = mean(repeats);
  return { typed, repeats, whole, joints, tool, kept, value: whole / joints, inches: ["in", "ft"].includes(typed[0].unit) };
}

/** The doubt of a reading with so many repeats, for one joint: that of the repeats, and the rest. */
function doubtOf({ repeats, tool: [once, rest], joints }) {
  const n = repeats.length, known = once / Math.sqrt(n);
  let own = 0;
  if (n > 1) own = Math.sqrt(sum(repeats.map((each) => (each - mean(repeats)) ** 2)) / (n - 1) / n);
  return Math.hypot(n === 1 ? known : Math.max(own, known), rest) / joints;
}

/* --- What it is held against --- */

function weigh(one, looked) {
  const { table, reading, line } = one, rules = one.rules;
  one.stick = table.nodes.length ? table : null;
  if (table.byOthers) {
    const like = (other) => other !== one && other.part === one.part && other.quantity === one.quantity;
    const sizes = looked.filter((other) => like(other) && other.reading.value > 0).map((other) => other.reading.value);
    const middle = median(sizes);
    const nodes = table.nodes.map(([size, life]) => [size * middle, life]);
    const basis = [table.basis[0], { about: Number(fixed(middle, 4)) }];
    one.stick = sizes.length ? { ...table, nodes, basis, new: table.new * middle } : null;
  }
  one.u = doubtOf(reading);
  one.lastLife = line.before?.life ?? NaN;
  Object.assign(one, one.stick ? weighed(one.stick, reading.value, one.u, rules) : { life: NaN, lifeU: NaN, outside: !inBounds(one) });
  const gained = one.life - one.lastLife;
  if (inBounds(one) && one.lastLife > 1 && gained >= 0 && gained <= rules.jump) one.outside = false;
}

const inBounds = ({ table, reading }) => table.bounds[0] <= reading.value && reading.value <= table.bounds[1];

/** Life used on the nodes, straight between and beyond: from the less worn one, as the core does it, to the last digit. */
function lifeAt(nodes, size) {
  let at = 1;
  while (at < nodes.length - 1 && size > nodes[at][0]) at += 1;
  const [[from, low], [to, high]] = [nodes[at - 1], nodes[at]].sort((a, b) => a[1] - b[1]), share = (size - from) / (to - from);
  return low * (1 - share) + high * share;
}

function weighed(stick, value, u, rules) {
  if (value === 0 && !stick.zero) return { life: NaN, lifeU: NaN, outside: true };
  const life = lifeAt(stick.nodes, value);
  const lifeU = (stick.sign * (lifeAt(stick.nodes, value + u) - lifeAt(stick.nodes, value - u))) / 2;
  const room = rules.outsideSigmas * lifeU, [least, most] = stick.life;
  const beyond = value < stick.bounds[0] || value > stick.bounds[1];
  return { life, lifeU, outside: life + room < least || life - room > most || beyond };
}

function couldBeMeant(stick, value, u, rules) {
  const { life, lifeU } = weighed(stick, value, u, rules);
  if (Number.isNaN(life) || value < stick.bounds[0] || value > stick.bounds[1]) return false;
  const room = Math.min(rules.outsideSigmas * lifeU, rules.meantRoom);
  return life >= rules.meant[0] - room && life <= rules.meant[1] + room;
}

/* --- Slips of the hand --- */

function slipsOf({ reading, table, rules }) {
  const { whole, joints, repeats } = reading, found = [];
  const add = (kind, size, over, step, code, values) => found.push({ kind, whole: size, joints: over, step, code, values });
  if (table.spans) {
    for (let other = 2; other <= rules.mostJoints; other += 1)
      if (other !== joints) add(JOINTS, whole, other, 0, "other_joints", { meant: whole, joints: other });
    if (joints > 1) add(PER_JOINT, whole * joints, joints, 1, "one_joint", { whole: whole * joints, joints, each: whole });
  }
  const all = (unit) => reading.typed.every((typed) => typed.unit === unit), over = joints > 1;
  if (all("mm")) add(INCHES, whole * rules.inch, joints, 2, "inches_as_millimetres", { meant_m: whole * rules.inch, over });
  if (all("in")) add(MILLIMETRES, whole / rules.inch, joints, 2, "millimetres_as_inches", { meant_m: whole / rules.inch, over });
  const mean = repeats.length > 1;
  for (const by of rules.decimals) add(DECIMAL, whole * by, joints, 3, "decimal_mark", { meant: whole * by, over, mean });
  for (const [size, step] of swapped(reading)) add(SWAPPED, size, joints, step, "digits_swapped", { meant: size, over, mean });
  return found;
}

/** What was typed as plain numbers with a point; nothing where one is no plain number. */
function numbersOf({ typed }) {
  const texts = typed.map((one) => PLAIN.exec(one.text)?.[1].replace(",", "."));
  return texts.every(Boolean) ? texts : [];
}

function swapped(reading) {
  const texts = numbersOf(reading), found = new Map();
  if (!texts.length) return found;
  const step = texts.some((text) => NEEDLESS_ZERO.test(text)) ? -3 : 4;
  const digits = Math.min(...texts.map((text) => text.replace(/\D/g, "").length));
  for (let at = 0; at < digits - 1; at += 1) {
    const meant = texts.map((text) => swap(text, at));
    if (meant.every((text, n) => text === texts[n]) || meant.some((text) => NEEDLESS_ZERO.test(text))) continue;
    const size = mean(meant.map((text, n) => Number(text) * reading.typed[n].per));
    if (!found.has(size)) found.set(size, step);
  }
  return found;
}

function swap(text, at) {
  const places = [...text].flatMap((letter, place) => (/\d/.test(letter) ? [place] : [])), letters = [...text];
  [letters[places[at]], letters[places[at + 1]]] = [letters[places[at + 1]], letters[places[at]]];
  return letters.join("");
}

/** What was meant by one repeat that lies far from the others, where one slip makes it one of them. */
function repeatMeant(reading, number, others, room, rules) {
  const texts = numbersOf(reading);
  if (!texts.length) return null;
  const text = texts[number], ten = [..."0123456789"];
  const digits = [...text].flatMap((letter, at) => (/\d/.test(letter) ? [at] : []));
  const places = [...Array(text.length + 1).keys()];
  const kinds = [
    rules.decimals.map((by) => String(Number((Number(text) * by).toPrecision(10)))),
    digits.slice(1).map((_, at) => swap(text, at)),
    places.flatMap((at) => ten.map((digit) => text.slice(0, at) + digit + text.slice(at))),
    digits.length > 1 ? digits.map((at) => text.slice(0, at) + text.slice(at + 1)) : [],
    digits.flatMap((at) => ten.map((digit) => text.slice(0, at) + digit + text.slice(at + 1))),
  ];
  const isNear = (size) => Math.max(...others, size) - Math.min(...others, size) <= room;
  for (const meant of kinds) {
    const sizes = meant.filter((one) => !NEEDLESS_ZERO.test(one)).map((one) => Number(one) * reading.typed[number].per);
    const near = sizes.filter((size) => !Number.isNaN(size) && isNear(size));
    const away = (size) => Math.abs(size - mean(others));
    if (near.length) return near.reduce((best, size) => (away(size) < away(best) ? size : best));
  }
  return null;
}

/** The likeliest slip that lands between new and scrap and fits. */
function bestSlip(one, alike, fits, kinds = EVERY_SLIP) {
  const { stick, reading, rules } = one, known = knownLife(one, alike), ranked = [];
  if (!stick) return null;
  for (const slip of slipsOf(one).filter(({ kind }) => kinds.includes(kind))) {
    const value = slip.whole / slip.joints, u = reading.value ? (one.u * value) / reading.value : one.u;
    if (value === 0 && !stick.zero) continue;
    const life = lifeAt(stick.nodes, value);
    if (!couldBeMeant(stick, value, Math.min(u, one.u), rules) || !fits(life)) continue;
    const away = Number.isNaN(known) ? Math.max(-life, life - 1, 0) : Math.abs(life - known);
    ranked.push([away + rules.rankStep * slip.step, slip.kind, slip.whole, slip]);
  }
  return ranked.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2])[0]?.[3] ?? null;
}

const known = (numbers) => numbers.filter((number) => !Number.isNaN(number));

function knownLife(one, alike) {
  if (!Number.isNaN(one.lastLife)) return one.lastLife;
  return median(known(alike.filter((other) => other !== one && !other.outside).map((other) => other.life)));
}

/* --- What is asked, in this order --- */

const isAlike = (one, other) => one.part === other.part && one.quantity === other.quantity && one.line.g === other.line.g;

function askedOf(one, alike) {
  const apart = repeatsApart(one);
  if (apart) return [apart];
  if (one.outside) return [{ ...whyOutside(one), slip: bestSlip(one, alike, () => true), hard: true }];
  if (!one.stick) return [];
  const found = [];
  for (const check of [lessWorn, unlikeNeighbours]) {
    const what = check(one, alike);
    if (!what) continue;
    const slip = bestSlip(one, alike, what.fits);
    if (slip) return [{ ...what, slip, hard: !isWorse(one, alike) }];
    found.push(what);
  }
  if (found.length) return found;
  for (const check of [sidesApart, leapt, pastLimit]) {
    const what = check(one, alike);
    const slip = what && bestSlip(one, alike, what.fits, check === pastLimit ? FACTORS : EVERY_SLIP);
    if (slip || (what && check === sidesApart)) return [{ ...what, slip }];
  }
  return [];
}

/** More worn than both its last reading and the parts beside it: a bad part is commoner than a slip. */
const isWorse = (one, alike) => known([one.lastLife, median(livesBeside(one, alike))]).every((life) => one.life > life);
const beside = (one, alike) => alike.filter((other) => other !== one && other.side === one.side && !other.outside);
const livesBeside = (one, alike) => known(beside(one, alike).map((other) => other.life));
const near = (low, high, room) => (life) => low - room <= life && life <= high + room;
const gainedWithin = ({ lastLife, lifeU, rules }, [low, high]) => near(lastLife + low, lastLife + high, rules.fitsSigmas * lifeU);

function repeatsApart({ reading, rules }) {
  const { repeats } = reading, middle = median(repeats);
  const room = Math.max(reading.tool[2], rules.repeatsShare * middle);
  if (repeats.length < 2 || Math.max(...repeats) - Math.min(...repeats) <= room) return null;
  const far = repeats.reduce((most, each) => (Math.abs(each - middle) > Math.abs(most - middle) ? each : most));
  const rest = repeats.filter((each) => each !== far), what = { code: "repeats_apart", values: { far, others: rest }, hard: true };
  if (repeats.length === 2) return { ...what, meant: ["one_is_a_slip", {}] };
  const number = repeats.indexOf(far), meant = repeatMeant(reading, number, rest, room, rules);
  if (meant === null) return { ...what, meant: ["like_the_others", { meant: middle }] };
  return { ...what, meant: ["one_repeat_meant", { meant }], repeat: [number, meant] };
}

function whyOutside(one) {
  const { reading, stick, table } = one, [least, most] = table.bounds;
  if (!stick) return { code: "no_machine_shows", values: { quantity: table.quantity, least, most } };
  let large = reading.value > stick.new;
  const basis = stick.basis;
  if (table.spans) {
    const each = reading.joints > 1 ? "each" : "one";
    return { code: `${each}_joint_too_${large ? "long" : "short"}`, values: { each: reading.value }, basis };
  }
  if (inBounds(one) && !Number.isNaN(one.life)) large = one.life < one.rules.leastLife === stick.sign < 0;
  return { code: `too_${large ? "large" : "small"}`, values: {}, basis };
}

function lessWorn(one) {
  const { before } = one.line, { rules } = one;
  if (!before || Number.isNaN(one.lastLife)) return null;
  const gained = one.stick.sign * (one.reading.value - before.m);
  if (gained >= -rules.backwards * Math.hypot(one.u, before.u)) return null;
  return { code: "less_wear", values: { before: before.said, day: before.day }, fits: gainedWithin(one, rules.lessWornFits) };
}

function unlikeNeighbours(one, alike) {
  const { rules, table } = one, lives = livesBeside(one, alike), [apart, sigmas, least] = rules.unlike;
  if (!table.numbered || lives.length < least) return null;
  const middle = median(lives), spread = rules.consistent * median(lives.map((life) => Math.abs(life - middle)));
  if (Math.abs(one.life - middle) <= Math.max(apart, sigmas * Math.hypot(spread, one.lifeU))) return null;
  const usual = Number(fixed(median(beside(one, alike).map((other) => other.reading.value)), 4));
  const room = Math.max(rules.alike, rules.fitsSigmas * one.lifeU, rules.spreads * spread);
  return { code: "unlike_beside", values: { count: String(lives.length), part: table.parts, usual }, fits: near(middle, middle, room) };
}

/** Asked once a pair, of the side that reads more worn. */
function sidesApart(one, alike) {
  const isAcross = (other) => other.position === one.position && other.side !== one.side;
  const across = alike.filter((other) => isAcross(other) && !other.outside && !Number.isNaN(other.life));
  if (!one.side || !across.length || across.some((other) => unlikeNeighbours(other, alike))) return null;
  const { rules, book } = one, other = across[0], [apart, share, sigmas] = rules.sides;
  const far = Math.max(apart, share * ((one.life + other.life) / 2), sigmas * Math.hypot(one.lifeU, other.lifeU));
  if (!(one.life - other.life > far)) return null;
  const values = { side: book.sides[one.side], across_read: asRead(other), across_side: book.sides[other.side] };
  const room = Math.max(rules.alike, rules.fitsSigmas * one.lifeU);
  return { code: "sides_apart", values, fits: near(other.life, other.life, room) };
}

function leapt(one) {
  const { before } = one.line, { rules } = one;
  if (!before || !(one.life - one.lastLife > rules.jump)) return null;
  return { code: "far_more_worn", values: { before: before.said, day: before.day }, fits: gainedWithin(one, rules.leaptFits) };
}

function pastLimit(one, alike) {
  const { rules } = one, [past, worn] = rules.past;
  if (!(one.life - rules.outsideSigmas * one.lifeU > past) || knownLife(one, alike) > worn) return null;
  return { code: "well_past", values: {}, fits: near(...rules.pastFits, 0) };
}

/** Sag and adjuster extension are set, not worn: only what cannot be, and slips that bring it into its range. */
function askedOfSetting(one) {
  const { reading, table, rules } = one, { band, most } = table;
  const [least, upper] = band ?? [0, Infinity];
  let slip = null;
  if (band && !(least / rules.far <= reading.value && reading.value <= upper * rules.far)) {
    const inside = slipsOf(one).filter(({ kind, whole }) => FACTORS.includes(kind) && least <= whole && whole <= upper);
    slip = inside.sort((a, b) => a.kind - b.kind || a.whole - b.whole)[0] ?? null;
  }
  if (reading.value > most) return [{ code: "more_than_it_can_show", values: { most }, slip, hard: true }];
  return slip ? [{ code: "far_from_range", values: { least, most: upper }, slip, hard: true }] : [];
}

/* --- What is said --- */

function doubtSaid(one, { code, values, basis, slip, meant, repeat, hard = false }) {
  const { book, reading } = one, { kept } = reading;
  const on = basis ? spoken(one, basis[0], basis[1]) : "";
  const what = spoken(one, code, { ...values, read: asRead(one), basis: on });
  const offer = slip ? spoken(one, slip.code, offered(one, slip.values)) : spoken(one, ...(meant ?? ["read_again", {}]));
  const why = kept ? speak(book, book.words.kept, { because: kept }) : "";
  const said = speak(book, book.words.asked, { what, meant: offer, kept: why });
  const doubt = { code, said: said.charAt(0).toUpperCase() + said.slice(1), held: hard && !kept, put: null, put_said: "" };
  return Object.assign(doubt, putOf(one, slip, repeat));
}

/** The fields of the line as they would be with what was probably meant, where it takes the place of one text. */
function putOf({ book, reading }, slip, repeat) {
  const [number, size] = repeat ?? [0, slip?.whole], typed = reading.typed[number];
  if (size === undefined || (reading.typed.length > 1 && !repeat) || reading.kept) return {};
  const unit = ["in", "ft"].includes(typed.unit) ? "in" : "mm", bare = figure(book, size, unit);
  const put = { [typed.box]: unit !== typed.unit || typed.text.includes(unit) ? `${bare} ${unit}` : bare };
  const joints = slip && slip.kind <= PER_JOINT ? slip.joints : 0;
  if (joints) put.joints = String(joints);
  const over = joints ? book.over.forms[Number(book.over.of[joints - 1])].replace("{n}", joints) : "";
  return { put, put_said: `${bare} ${unit}${over}` };
}

function offered({ book, reading }, { over, mean, ...values }) {
  const spans = over ? speak(book, book.words.over, { joints: String(reading.joints) }) : "";
  return { ...values, over: spans, mean: mean ? book.words.as_the_mean : "" };
}

function asRead({ book, reading }) {
  const texts = reading.typed.map(({ text, unit }) => (text.toLowerCase().includes(unit) ? text : `${text} ${unit}`));
  const values = { figures: texts.join(", "), joints: String(reading.joints) };
  return speak(book, book.words[reading.joints > 1 ? "over_joints" : "figures"], values);
}

function share(one) {
  const { table, book, reading, life } = one;
  if (!table.limit) return { said: book.words.no_limit };
  if (Number.isNaN(life)) return {};
  const unit = reading.inches ? "in" : "mm", most = table.spans ? 1 : 2;
  const size = (length) => `${figure(book, length * reading.joints, unit, most)} ${unit}`;
  const used = Math.max(0, Number(fixed(100 * life, 0))), assumed = table.assumed ? "_assumed" : "";
  const code = life < 0 ? "better" : `${life > 1 ? "past" : "used"}${assumed}`;
  const said = speak(book, book.words[code], { used: String(used), limit: size(table.limit), new: size(table.new) });
  return { used, past: life > 1, said };
}

function range(one) {
  const { table, book, reading } = one, unit = reading.inches ? "in" : "mm";
  if (!table.band) return { said: book.words.no_range };
  const [least, most] = table.band.map((size) => figure(book, size, unit));
  const past = reading.value < table.band[0] || reading.value > table.band[1];
  return { past, said: speak(book, book.words[past ? "out_of_range" : "in_range"], { least, most: `${most} ${unit}` }) };
}

/** A sentence with its values: lengths as the reading was typed, but for those whose kind stands behind the colon. */
function spoken(one, code, values) {
  const shown = (size) => (one.reading.inches ? few(one.book, size, "in") : few(one.book, size, "mm"));
  const plain = ([name, value]) => [name, typeof value === "number" && !name.endsWith("_m") ? shown(value) : value];
  const told = Object.fromEntries(Object.entries(values).map(plain));
  if (values.others) told.others = values.others.map(shown).join(one.book.words.and);
  if (typeof values.joints === "number") told.joints = String(values.joints);
  return speak(one.book, one.book.words[code], told);
}

function speak(book, text, values) {
  const kinds = { few_millimetres: "mm", few_inches: "in", millimetres: "mm" };
  return text.replace(/\{(\w+)(?::(\w+))?\}/g, (whole, name, kind) => {
    const value = values[name];
    if (typeof value !== "number") return value ?? "";
    const fine = Math.abs(value) > 0 && Math.abs(value) < book.units.mm;
    return kind === "millimetres" ? `${marked(book, fixed(value / book.units.mm, fine ? 2 : 1))} mm` : few(book, value, kinds[kind]);
  });
}

const marked = (book, text) => text.replace(".", book.mark);

/** A length with one decimal more than the fewest usual ones where it needs it. */
function few(book, length, unit) {
  const size = length / book.units[unit], least = unit === "in" ? 2 : 1;
  const isRound = Math.abs(Number(fixed(size, least)) - size) < 1e-7;
  return `${marked(book, fixed(size, isRound ? least : least + 1))} ${unit}`;
}

/** A length as a bare figure, with no more decimals than it needs. */
function figure(book, length, unit, most = 2) {
  const size = length / book.units[unit], least = unit === "in" ? 2 : 1;
  let digits = least;
  while (digits < most && Math.abs(Number(fixed(size, digits)) - size) >= 1e-6) digits += 1;
  return marked(book, fixed(size, digits));
}

/** So many decimals, of two equally near the even one, as the desk rounds. */
function fixed(number, digits) {
  const text = number.toFixed(digits), scaled = number * 10 ** digits;
  const isTie = Number.isInteger(number * 2 ** (digits + 1)) && Number.isInteger(2 * scaled) && !Number.isInteger(scaled);
  return isTie ? (2 * Math.round(scaled / 2) / 10 ** digits).toFixed(digits) : text;
}

/** A sum that loses no digit on the way (Neumaier), as the core's does: its mean may lie on a rounding's edge. */
function sum(numbers) {
  let whole = 0, lost = 0;
  for (const each of numbers) {
    const next = whole + each;
    lost += Math.abs(whole) >= Math.abs(each) ? whole - next + each : each - next + whole;
    whole = next;
  }
  return whole + lost;
}

const mean = (numbers) => sum(numbers) / numbers.length;

function median(numbers) {
  if (!numbers.length) return NaN;
  const sorted = [...numbers].sort((a, b) => a - b), half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
