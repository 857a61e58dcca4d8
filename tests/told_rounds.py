"""Walk-rounds to hold the phone's table and script against the desk: what is typed, and what the desk says of it online."""

import random
from dataclasses import replace
from urllib.parse import parse_qs

from pitchline.demo.yard import build_yard
from pitchline.desk.bridge.sheets import Rows, reading_of, tools_of
from pitchline.desk.pocket.told import told_book, told_of
from pitchline.desk.thousands import length_text
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.desk.walkround.pages import warned_of
from pitchline.exchange.sheet import sheet_rows
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.units import METRES_PER_UNIT
from pitchline.trade.writing import way_in_force
from pitchline.wear.line import wear_line
from pitchline.wear.told_table import life_nodes

SLIPS = (10.0, 0.1, 100.0, 0.01, 1 / 25.4, 25.4, 4.0, 0.25, 1.75, 2.0, 1.2, 0.9, 1.1, 1.05, 0.97)


class Told:
    """A machine with a walk-round to come, and what a phone is given of it."""

    def __init__(self, dossier, round_of, unit="mm"):
        """`round_of`: the walk-round whose day and hours the new one has."""
        self.dossier, self.round_of, self.unit = dossier, round_of, unit
        self.rows = {f"{row.place.key}:{row.measurand}": row for row in sheet_rows(dossier) if row.measurand}
        self.book = told_book(dossier, unit)
        self.lines = {
            key: told_of(dossier, row.place, row.measurand, round_of.date, round_of.service_h, self.book)
            for key, row in self.rows.items()
        }
        self.chance = random.Random(dossier.machine.machine_id)
        self.tools = ["", *(tool.name for tool in tools_of(dossier))]

    def limit_of(self, key):
        """The yard's wear line of a line of the walk-round; None where it has none."""
        row = self.rows[key]
        limit = self.dossier.limit_of(row.place.part, row.measurand)
        return wear_line(limit) if limit is not None and limit.limit_m is not None else None

    def online(self, typed):
        """What the desk says of each line: doubts as the page shows them, and life used as read, in percent."""
        rows = {key: self._row(key, fields) for key, fields in typed.items()}
        day = self.round_of
        sheet = Sheet(date=day.date, service_h=day.service_h)
        doubts = warned_of(sheet, Rows(tuple(rows.values())), self.dossier)
        return {key: self._said(key, row, doubts.get(key, ())) for key, row in rows.items()}

    def _row(self, key, fields):
        row = self.rows[key]
        about, joints = MEASURANDS[row.measurand], fields.get("joints", "")
        times = int(joints) if joints.isdecimal() else 1
        bounds = about.least_m * times, about.most_m * times
        unit = fields.get("unit", self.unit)
        texts = (length_text(fields.get(box, ""), way_in_force().numbers, unit, *bounds).strip() for box in "123")
        return ReadingRow(
            part=row.place.part.value,
            side=row.place.side.value,
            position=row.place.position,
            measurand=row.measurand.value,
            number=0,
            typed=[text for text in texts if text],
            unit=unit,
            over_joints=joints,
            tool=fields.get("tool", ""),
            kept_because=fields.get("keep", ""),
            beyond={},
        )

    def _said(self, key, row, doubts):
        try:
            value_m = reading_of(row, self.dossier).value_m
        except NotAllowedError:
            return None
        line = self.limit_of(key)
        can = line is not None and (value_m > 0 or line.zero_is_a_reading)
        return {
            "used": 100 * float(line.life_used(value_m)) if can else None,
            "doubts": [
                {
                    "said": one.said,
                    "held": one.held,
                    "put": {box: texts[0] for box, texts in parse_qs(one.put).items()} or None,
                    "put_said": one.put_said,
                }
                for one in doubts
            ],
        }


def _fields(told, key, text, **more):
    spans = MEASURANDS[told.rows[key].measurand].spans_joints
    return {"1": text, "joints": "4" if spans else ""} | more


def grid(told):
    """Sizes finer than the nodes of each table, better than new to far past it, by all tools: each unlike line a round."""
    unlike = {line["t"]: key for key, line in reversed(told.lines.items())}
    wearing = {key: wears for key in unlike.values() if (wears := told.limit_of(key)) is not None}
    for at in range(26):
        typed = {}
        for key, wears in wearing.items():
            inner = [life for _, life in life_nodes(wears)[1:-1] if -0.5 < life < 2]
            life = inner[at // 2] if at % 2 and at // 2 < len(inner) else -0.4 + 2.5 * at / 25
            typed[key] = _of_size(told, key, float(wears.size_m(life + told.chance.gauss(0, 0.02))))
        yield typed


def _of_size(told, key, size_m):
    unit = told.chance.choice(("mm", "in"))
    fields = _fields(told, key, "", unit=unit, tool=told.chance.choice(told.tools))
    size = max(size_m, 0.0) * int(fields["joints"] or 1) / METRES_PER_UNIT[unit]
    return fields | {"1": f"{size:.{told.chance.choice((1, 2, 3) if unit == 'mm' else (2, 3))}f}"}


def settings(told):
    """Sag and adjuster, from nothing to far more than can be."""
    keys = [key for key, row in told.rows.items() if MEASURANDS[row.measurand].role is Role.SETTING]
    for text in ("0", "1,5", "4", "38.5", "45", "60 mm", "93", "140", "250", "450", "1100", "2.5 in"):
        yield {key: _fields(told, key, text) for key in keys}


def odd_ones(told):
    """Rollers alike but for one on the right, from as good as new to worn out."""
    rollers = {key: wears for key in told.rows if "roller" in key and (wears := told.limit_of(key)) is not None}
    for odd in (0.02, 0.1, 0.9, 1.3):
        typed = {}
        for key, wears in rollers.items():
            life = odd if "/right/2:" in key else 0.5 + told.chance.gauss(0, 0.03)
            typed[key] = _fields(told, key, f"{1e3 * float(wears.size_m(life)):.1f}", tool="calliper")
        yield typed


def rounds(told, many):
    """Whole rounds as somebody read them, with slips of the hand in none, some or most of their lines."""
    for number in range(many):
        often = (0.0, 0.05, 0.3, 0.9)[number % 4]
        typed = {}
        for reading in told.round_of.readings:
            key = f"{reading.place.key}:{reading.measurand}"
            if key in told.rows and told.chance.random() > 0.15:
                typed[key] = _as_typed(told, key, reading, often)
        yield typed


def _as_typed(told, key, reading, often):
    texts, unit = [one.text for one in reading.typed], reading.typed[0].unit
    chance = told.chance.random
    size = float(texts[0].split()[0].replace(",", ".")) if "/" not in texts[0] else 2.5
    if chance() < 0.15:
        apart = told.chance.choice((0.015, 0.0003))
        again = (size * (1 + told.chance.uniform(-apart, apart)) for _ in range(told.chance.choice((1, 2))))
        texts = [texts[0], *(f"{each:.2f}" for each in again)]
    if chance() < often:
        at = told.chance.randrange(len(texts))
        texts[at] = told.chance.choice((_factor, _swapped, _other_unit))(told, texts[at], size)
    spans = MEASURANDS[reading.measurand].spans_joints
    joints = told.chance.randrange(1, 10) if chance() < often / 3 else reading.joints
    tool = reading.tool.name if chance() < 0.7 else told.chance.choice(told.tools)
    unit = told.chance.choice(("mm", "in")) if chance() < often / 10 else unit
    keep = "read twice" if chance() < 0.05 else ""
    typed = dict(zip("123", texts, strict=False))
    return typed | {"unit": unit, "tool": tool, "joints": str(joints) if spans else "", "keep": keep}


def _factor(told, _, size):
    text = f"{size * told.chance.choice(SLIPS):.3f}".rstrip("0").rstrip(".")
    return text.replace(".", ",") if told.chance.random() < 0.3 else text


def _swapped(told, text, _):
    at = told.chance.randrange(max(len(text) - 1, 1))
    return text[:at] + text[at : at + 2][::-1] + text[at + 2 :]


def _other_unit(told, _, size):
    return f"{size:.2f} {told.chance.choice(('mm', 'in', 'cm', 'MM.', '”', 'furlong'))}".replace(" ”", "”")


def machines():
    """The demo machines; some as if nobody had walked round them, or without some of their limits."""
    found = []
    for number, one in enumerate(build_yard().machines):
        dossier = one.dossier
        found.append((dossier, one.sheet))
        if number % 8 == 0:
            found.append((replace(dossier, walk_rounds=()), one.sheet))
        if number % 8 == 1:
            found.append((replace(dossier, walk_rounds=(), limits=()), one.sheet))
        if number % 8 == 2:
            bare = tuple(replace(limit, limit_m=None, between=(), assumed=False) for limit in dossier.limits)
            found.append((replace(dossier, limits=bare[::2] + dossier.limits[1::2]), one.sheet))
    return found
