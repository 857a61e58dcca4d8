"""Newest readings that are not understood and would be bad news: both explanations in hours.

See docs/explanation/calls.md.
"""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from pitchline.judge.machine_by_day import Known
from pitchline.judge.one_sided import one_sided
from pitchline.judge.ruler import by_ruler
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook, MachineOutlook
from pitchline.stops.doubted import Doubted
from pitchline.trade.dossier import Event
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading, WalkRound
from pitchline.wear.suspicion import Suspicion

NOT_UNDERSTOOD = 0.5
"""Chance that a part wears unlike its fellows or was misread from which its newest reading counts as not understood: our own."""
_SETTLED_REPEATS = 3
"""Repeats from which a reading was plainly measured again already: our own."""
_CLEARLY = 1.5
"""How many times as long the part has to last if a reading held back was misread, to be worth a job: our own."""
_TIMES_TYPICAL, _LEAST_TOO_WORN = 10.0, 0.1
"""Times the typical pace that no part wears at, odd or not, and how far beyond that a reading has to lie [1]: our own."""
_WEEKS_AHEAD, _HOURS_AHEAD = 52.0, 1500.0
"""How soon the part has to be due, if the reading is right, to be measured again before the next round: our own."""

Doubts = dict[tuple[Place, Measurand], Doubted]
Without = Callable[[frozenset[tuple[dt.date, Reading]]], MachineOutlook]


def doubts_of(known: Known, outlook: MachineOutlook | None, without: Without) -> Doubts:
    """Every newest reading that is held back or not understood, and on the bad side.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        With every reading that is not held back.
    without : callable
        Gives the outlook with these readings left out as well.

    Returns
    -------
    dict
        By place and quantity. A reading better than all else says is never in it. What like readings of the same side bear out
        carries the cause to look for instead.
    """
    if outlook is None:
        return {}
    found = {(part.life.place, part.life.measurand): _held(known, part) for part in outlook.parts}
    asked = [part for part in outlook.parts if _not_understood(part)]
    if asked:
        newest = frozenset((part.life.traces[-1].date, part.life.traces[-1].reading) for part in asked)
        others = {(part.life.place, part.life.measurand): part for part in without(newest).parts}
        for part in asked:
            key = (part.life.place, part.life.measurand)
            found[key] = found[key] or _unlike(known, part, others[key])
    doubts = {key: doubted for key, doubted in found.items() if doubted is not None}
    for group in one_sided(known, outlook) if doubts else ():
        for key in ((place, group.measurand) for place in group.places):
            if key in doubts and not doubts[key].held:
                doubts[key] = replace(doubts[key], cause=group.said)
    return doubts


def _not_understood(part: LifeOutlook) -> bool:
    """Unlike its fellows or misread, as far as the outlook knows, and not settled by repeats, a reason or an earlier reading."""
    traces = part.life.traces
    if not traces:
        return False
    if _so_soon_h(part) is not None:
        return True
    odd = part.chance_odd
    reading = traces[-1].reading
    settled = bool(reading.kept_because) or len(reading.repeats_m) >= _SETTLED_REPEATS or len(traces) > 1
    return part.chance_misread + (0.0 if settled else odd) > NOT_UNDERSTOOD


def _so_soon_h(part: LifeOutlook) -> float | None:
    """Hours since it was fitted new or rebuilt, as recorded, where its newest reading is worn as no part can be by then [h]."""
    life, started = part.life, part.life.started
    if started is None or started.event not in (Event.FITTED_NEW, Event.REBUILT):
        return None
    trace = life.traces[-1]
    since_h = trace.service_h - started.service_h
    worn = _LEAST_TOO_WORN + _TIMES_TYPICAL * since_h / life.kind.typical_life_h
    return since_h if trace.life_used - 2.0 * trace.life_used_u > worn else None


def _unlike(known: Known, part: LifeOutlook, without: LifeOutlook) -> Doubted | None:
    trace = part.life.traces[-1]
    so_soon_h = _so_soon_h(part)
    if so_soon_h is not None:  # if it is right, an older part was fitted: it lasts as such parts here do
        whole_h, carried_h = without.whole_life_h[1], known.now_h - trace.service_h
        right_h = max(0.0, (1.0 - trace.life_used) * whole_h - carried_h)
        return Doubted(trace.reading.words, right_h, without.to_limit.middle, so_soon_h=so_soon_h)
    right_h = _if_right_h(known, part, trace.service_h, trace.life_used, trace.life_used_u)
    misread_h = without.to_limit.middle
    weekly = known.dossier.utilisation
    soon_h = _HOURS_AHEAD if weekly is None else _WEEKS_AHEAD * weekly.usual
    if right_h >= misread_h or right_h > soon_h:
        return None
    return Doubted(trace.reading.words, right_h, misread_h)


def _if_right_h(known: Known, part: LifeOutlook, read_h: float, used: float, used_u: float = 0.0) -> float:
    """Hours left by the reading alone: at the part's own rate where its start is known, else at that of such parts here."""
    if used >= 1.0:
        return 0.0
    ruler_h = by_ruler(part.life, read_h, used, known.now_h, used_u)
    if ruler_h is not None:
        return ruler_h
    return max(0.0, (1.0 - used) * part.whole_life_h[1] - (known.now_h - read_h))


def _held(known: Known, part: LifeOutlook) -> Doubted | None:
    """The newest reading of a part where it is held back and would be bad news."""
    life = part.life
    found = _newest_held(known, life)
    if found is None:
        return None
    walk_round, suspicion = found
    misread_h = part.to_limit.middle
    supposed = {size_m: _used(life, size_m) for size_m in (suspicion.reading.value_m, *_meant(suspicion))}
    possible = {size_m: used for size_m, used in supposed.items() if used > 0.0}
    left_h = {size_m: _if_right_h(known, part, walk_round.service_h, used) for size_m, used in possible.items()}
    if not any(used >= 1.0 or _CLEARLY * left_h[size_m] < misread_h for size_m, used in possible.items()):
        return None
    worst_m = min(left_h, key=lambda size_m: left_h[size_m])
    least = min(possible.values())
    meant_m = None if suspicion.reading.value_m in possible else worst_m
    alike = [
        reading
        for reading in walk_round.readings
        if (reading.place.part, reading.measurand) == (life.place.part, life.measurand)
    ]
    all_held = len(alike) > 1 and all((walk_round.date, reading) in known.held for reading in alike)
    return Doubted(suspicion.reading.words, left_h[worst_m], misread_h, True, least, all_held, meant_m)


def _meant(suspicion: Suspicion) -> Sequence[float]:
    """What may have been meant, for one joint [m]."""
    if suspicion.instead_m is None:
        return [] if suspicion.instead_joints is None else [_whole_m(suspicion) / suspicion.instead_joints]
    return [suspicion.instead_m / (suspicion.instead_joints or suspicion.reading.joints)]


def _whole_m(suspicion: Suspicion) -> float:
    return suspicion.reading.value_m * suspicion.reading.joints


def _used(life: Life, value_m: float) -> float:
    return float(life.line.life_used(np.array([value_m]))[0])


def _newest_held(known: Known, life: Life) -> tuple[WalkRound, Suspicion] | None:
    """The newest reading of the part now fitted, where it is held back."""
    for walk_round in reversed(known.dossier.walk_rounds):
        for reading in walk_round.readings:
            if (reading.place, reading.measurand) == (life.place, life.measurand):
                held = (each for each in known.suspicions if each.held and each.date == walk_round.date)
                mine = next((each for each in held if each.reading == reading), None)
                taken_off = life.started is not None and life.started.follows(
                    walk_round.date, walk_round.service_h
                )
                return (walk_round, mine) if mine is not None and not taken_off else None
    return None
