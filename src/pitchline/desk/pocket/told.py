"""What a phone without a signal tells of a reading: the core's figures with our sentences, for `static/pocket/told.js`."""

import datetime as dt
import math
from collections.abc import Mapping
from typing import Any

from pitchline.desk.bridge.sheets import tools_of
from pitchline.exchange.figures import LONGEST_FIGURE, LONGEST_LENGTH_M
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PARTS, Place, Side
from pitchline.trade.readings import WalkRound
from pitchline.trade.saying import Saying
from pitchline.trade.units import METRES_PER_UNIT, UNIT_SPELLINGS
from pitchline.trade.writing import marks_of, way_in_force
from pitchline.wear.suspicion import as_read
from pitchline.wear.told_table import RULES, Before, ToldSetting, ToldTable, told_line, tool_figures_m
from pitchline.words import counted, label, say, translated
from pitchline.words.english.reading import SENTENCES
from pitchline.words.labels import plural
from pitchline.words.speaking import KINDS

Line = dict[str, Any]


def told_book(dossier: Dossier, unit: str = "mm") -> dict[str, Any]:
    """What all lines of a machine are told by.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    unit : str
        Unit of a figure that has none.

    Returns
    -------
    dict
        As JSON takes it, with sentences in the language and the way in force; `told_of` adds tables to it.
    """
    group, mark = marks_of(way_in_force().numbers)
    return {
        "rules": RULES,
        "tools": {tool.name: tool_figures_m(tool) for tool in tools_of(dossier)},
        "joints": dossier.gear.joints_per_side,
        "unit": unit,
        "units": METRES_PER_UNIT,
        "spellings": UNIT_SPELLINGS,
        "longest": LONGEST_FIGURE,
        "most": LONGEST_LENGTH_M,
        "mark": mark,
        "group": group,
        "words": _words(),
        "over": _over(dossier.gear.joints_per_side),
        "sides": {side.value: label(side) for side in Side if side.value},
        "tables": {},
    }


def _words() -> dict[str, str]:
    said = {code: translated(text) for code, text in SENTENCES.items() if isinstance(text, str)}
    return said | {
        "and": translated(" and "),
        "joints": translated("Say how many joints the length spans."),
        "unread": translated("Kept as typed: the desk reads this figure once the phone meets it."),
        "used": translated("about {used} % used, limit {limit}"),
        "used_assumed": translated("about {used} % used, assumed limit {limit}"),
        "past": translated("about {used} % used, past the limit {limit}"),
        "past_assumed": translated("about {used} % used, past the assumed limit {limit}"),
        "better": translated("no wear against new, {new}"),
        "better_assumed": translated("no wear against new, {new}"),
        "no_limit": translated("no limit entered, so no share of its life can be told"),
        "in_range": translated("in its range, {least} to {most}"),
        "out_of_range": translated("out of its range, {least} to {most}"),
        "no_range": translated("no range entered to hold it against"),
    }


def _over(most: int) -> dict[str, Any]:
    """What follows a length over so many joints: the forms a language has, and which of them each number takes."""
    told = [counted(" over {n} joint", " over {n} joints", number) for number in range(1, most + 1)]
    forms = list(dict.fromkeys(told))
    return {"forms": forms, "of": "".join(str(forms.index(one)) for one in told)}


def told_of(
    dossier: Dossier, place: Place, measurand: Measurand, day: dt.date, hours_h: float, book: dict[str, Any]
) -> Line:
    """What one line of a walk-round is told by.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    place, measurand : Place and Measurand
        The line.
    day : datetime.date
        The day of the walk-round; later ones are left out.
    hours_h : float
        Service hours then [h].
    book : dict
        What `told_book` gave; afterwards it holds the line's table.

    Returns
    -------
    dict
        As JSON takes it.
    """
    line = told_line(dossier, WalkRound(day, hours_h), place, measurand)
    table, tables = _table(line.table, place, measurand), book["tables"]
    key = next((key for key, known in tables.items() if known == table), f"k{len(tables) + 1}")
    tables[key] = table
    told: Line = {"t": key, "g": line.renewed_h}
    return told if line.before is None else told | {"before": _before(line.before)}


def _table(table: ToldTable | ToldSetting, place: Place, measurand: Measurand) -> dict[str, Any]:
    words = MEASURANDS[measurand]
    found: dict[str, Any] = {"spans": words.spans_joints, "bounds": (words.least_m, words.most_m)}
    if isinstance(table, ToldSetting):
        band = table.band
        return found | {"most": table.most_m, "band": None if band is None else (band.least_m, band.most_m)}
    if table.basis is None:
        return found | {"nodes": (), "quantity": label(measurand)}
    limit = table.limit
    return found | {
        "nodes": table.nodes,
        "byOthers": table.by_others,
        "limit": None if limit is None else limit.limit_m,
        "assumed": limit is not None and limit.assumed,
        "life": table.life,
        "new": table.new_m,
        "sign": table.sign,
        "zero": table.zero,
        "basis": (table.basis.code.partition(".")[2], _lengths(table.basis.values)),
        "quantity": label(measurand),
        "parts": plural(place.part),
        "numbered": PARTS[place.part].numbered,
    }


def _lengths(values: Mapping[str, Any]) -> dict[str, float]:
    """Lengths that a saying shows in a unit of its own, bare: the script shows them in that of the reading."""
    return {name: value.values["length_m"] for name, value in values.items() if isinstance(value, Saying)}


def _before(before: Before) -> dict[str, Any]:
    return {
        "m": before.reading.value_m,
        "u": round(before.u_m, 9),
        "life": None if math.isnan(before.life) else before.life,  # JSON knows no other way to say it
        "said": say(as_read(before.reading)),
        "day": KINDS["long_day"](before.date.isoformat()),
    }
