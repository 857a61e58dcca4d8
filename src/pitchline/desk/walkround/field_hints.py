"""What stands beside a field of a walk-round: sizes to hold a reading against, all in one unit, and what it may have meant."""

from dataclasses import dataclass
from urllib.parse import urlencode

from pitchline.desk.walkround.models import ReadingRow
from pitchline.papers import words
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.units import METRES_PER_UNIT
from pitchline.trade.writing import as_figure
from pitchline.wear.suspicion import Suspicion
from pitchline.words import counted, say, translated

USUAL_JOINTS = 4
"""Joints a pitch is measured over before anybody said over how many: what its `how` asks for."""


@dataclass(frozen=True, slots=True)
class Warned:
    """What looks wrong about a reading.

    Parameters
    ----------
    said : str
        In a sentence or two.
    held : bool
        Whether it stays out of the figures until corrected or kept with a reason.
    put : str
        The fields of the line as they would be with what was probably meant, as in an address; empty where it cannot be told.
    put_said : str
        The same in words, such as "46.0 mm".
    """

    said: str
    held: bool
    put: str = ""
    put_said: str = ""


@dataclass(frozen=True, slots=True)
class Size:
    """A size to hold a reading against.

    Parameters
    ----------
    name, said, after : str
        What it is, the figure, and what follows it.
    each : str
        For one joint, unrounded, where joints are spanned: times their number it is what was typed.
    """

    name: str
    said: str
    after: str = ""
    each: str = ""


def warned(one: Suspicion) -> Warned:
    """A suspicion, with what was probably meant made ready to be put in place of the one text that was typed."""
    said = words.first_up(say(one.suspects))
    meant_m, typed = one.instead_m, one.reading.typed
    number = one.repeat or 1
    if one.repeat:
        meant_m = one.repeat_m
    if meant_m is None or len(typed) < number or (len(typed) > 1 and not one.repeat) or one.reading.kept_because:
        return Warned(said, one.held)
    unit = _unit(typed[number - 1].unit)
    figure = _figure(meant_m, unit)
    if unit != typed[number - 1].unit or unit in typed[number - 1].text:
        figure = f"{figure} {unit}"
    put = {str(number): figure}
    joints = one.instead_joints
    if joints is not None:
        put["joints"] = str(joints)
    over = counted(" over {n} joint", " over {n} joints", joints).format(n=joints) if joints is not None else ""
    return Warned(said, one.held, urlencode(put), f"{_size(meant_m, unit)}{over}")


def last_read(dossier: Dossier, place: Place, measurand: Measurand) -> tuple[WalkRound, Reading] | None:
    """The newest earlier reading of a quantity at a place, with its walk-round."""
    for walk_round in reversed(dossier.walk_rounds):
        for reading in walk_round.readings:
            if (reading.place, reading.measurand) == (place, measurand):
                return walk_round, reading
    return None


def joints_before(last: tuple[WalkRound, Reading] | None, dossier: Dossier, measurand: Measurand) -> str:
    """Over how many joints it was measured last time, here or on the other side; what its `how` asks for where it never was."""
    if last is not None:
        return str(last[1].joints)
    found = [
        one.joints
        for walk_round in dossier.walk_rounds
        for one in walk_round.readings
        if one.measurand is measurand
    ]
    return str(found[-1] if found else min(USUAL_JOINTS, dossier.gear.joints_per_side))


def _unit(unit: str) -> str:
    return "in" if unit in ("in", "ft") else "mm"


def _figure(length_m: float, unit: str, most: int = 2) -> str:
    """A length as a bare figure, with no more decimals than it needs, at least one in millimetres and two in inches."""
    amount, least = length_m / METRES_PER_UNIT[unit], 2 if unit == "in" else 1
    digits = next((d for d in range(least, most + 1) if abs(round(amount, d) - amount) < 1e-6), max(least, most))
    return as_figure(amount, f".{digits}f")


def _size(length_m: float, unit: str) -> str:
    return f"{_figure(length_m, unit)} {unit}"


def sizes_of(
    dossier: Dossier,
    place: Place,
    measurand: Measurand,
    unit: str,
    over: int,
    last: tuple[WalkRound, Reading] | None,
) -> tuple[Size, ...]:
    """What a reading is held against, all in one unit and over the same joints: last time, new and limit, or the band."""
    spans = MEASURANDS[measurand].spans_joints

    def size(name: str, length_m: float, after: str = "") -> Size:
        each = f"{length_m / METRES_PER_UNIT[unit]:.6g}" if spans else ""
        return Size(name, _figure(length_m * over, unit, 1 if spans else 2), after, each)

    found = []
    if last is not None:
        found.append(
            size(
                translated("last time"),
                last[1].value_m,
                translated("on {date}").format(date=words.day(last[0].date)),
            )
        )
    for limit in dossier.limits:
        if (limit.part, limit.measurand) == (place.part, measurand):
            found.append(size(translated("new"), limit.new_m))
            called = translated("assumed limit") if limit.assumed else translated("limit")
            found += [size(called, limit.limit_m)] if limit.limit_m is not None else []
            return tuple(found)
    band = dossier.range_of(place.part, measurand)
    if band is not None:
        most = translated("to {size}").format(size=_size(band.most_m, unit))
        found.append(size(translated("should be"), band.least_m, most))
    elif measurand is Measurand.ADJUSTER_EXTENSION and dossier.gear.adjuster_stroke_m is not None:
        found.append(size(translated("at most its stroke,"), dossier.gear.adjuster_stroke_m))
    return tuple(found)


def spread_said(row: ReadingRow) -> str:
    """How far apart the repeats of one place lie, in words; empty below two."""
    if len(row.repeats_m) < 2:
        return ""
    apart = _size(max(row.repeats_m) - min(row.repeats_m), row.unit)
    return translated("{n} readings, {apart} apart").format(n=len(row.repeats_m), apart=apart)
