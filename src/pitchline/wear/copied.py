"""Figures that look rounded or copied: what a walk-round says of how it was read.

Rounding belongs to the doubt of a reading. The same figure at place after place is either true, as on new parts, or one part was
read and its figure written for the rest: then it is one reading and not eight. Nothing is changed; it is asked about.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import bdtrc

from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading, Tool, WalkRound
from pitchline.trade.units import INCH_M
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.line import wear_line

FEWEST = 4
"""Like places from which the same figure is asked about, and different readings from which a rounding is seen. Our own choice."""
_STEPS_M = np.sort([5e-3, 2e-3, 1e-3, 5e-4, *(INCH_M / parts for parts in (8, 16, 32, 64))])[::-1]
_ROUNDED_SHARE, _EXACT = 0.8, 0.01
UNLIKELY = 0.01
"""Chance below which parts that were each measured would not all read the same. Our own choice."""
_PARTS_APART, _STEADY = 0.2, 0.5
"""How far like parts wear apart, as a share of their wear, and a steady hand's scatter as a share of the tool's: assumptions."""
_NEW = 0.03


@dataclass(frozen=True, slots=True)
class Copied:
    """Places of one kind that read exactly alike on one walk-round, where parts that were each measured would not.

    Parameters
    ----------
    part : PartKind
        What they are.
    measurand : Measurand
        What was read.
    places : tuple of Place
        Where, four or more.
    reading : Reading
        One of them.
    chance : float
        Chance that so many would read alike if each was measured [1].
    """

    part: PartKind
    measurand: Measurand
    places: tuple[Place, ...]
    reading: Reading
    chance: float


def rounded_steps_m(walk_round: WalkRound) -> dict[str, float]:
    """The step that the readings of each tool were really read in, where it is coarser than the tool's.

    Returns
    -------
    dict of str to float
        Step [m] by the tool's short name: the coarsest of 0.5 to 5 mm and 1/64 to 1/8 in of which four in five of its
        readings, four different ones or more, are multiples. Tools that were read in their own steps are left out.

    References
    ----------
    JCGM 100:2008 (GUM), F.2.2.1: what is not resolved is doubt. The rule is our own.
    """
    by_tool = _by_tool(walk_round)
    found = {}
    for name, readings in by_tool.items():
        sizes_m = {size_m for reading in readings for size_m in _sizes_m(reading)}
        found[name] = _rounded_step_m(list(sizes_m), len(sizes_m), readings[0].tool)
    return {name: step_m for name, step_m in found.items() if step_m}


def steps_by_others_m(walk_round: WalkRound) -> dict[tuple[Place, Measurand], float]:
    """The step that each reading was really read in, as the other readings by the same tool show it.

    A reading's doubt must not hang on its own figure: a worse one that falls on a whole millimetre would be doubted more.

    Returns
    -------
    dict of (Place, Measurand) to float
        Step [m] as rounded_steps_m would have it if this reading were in the tool's own; 0 where it is the tool's own.
    """
    found = {(reading.place, reading.measurand): 0.0 for reading in walk_round.readings}
    for readings in _by_tool(walk_round).values():
        count = Counter(size_m for reading in readings for size_m in set(_sizes_m(reading)))
        if not _rounded_step_m(list(count), len(count), readings[0].tool):
            continue  # without one of them it is the tool's own all the more
        for reading in readings:
            own = set(_sizes_m(reading))
            others_m = [size_m for size_m, places in count.items() if places > 1 or size_m not in own]
            step_m = _rounded_step_m(others_m, len(others_m) + len(own), reading.tool)
            found[reading.place, reading.measurand] = step_m
    return found


def _by_tool(walk_round: WalkRound) -> dict[str, list[Reading]]:
    by_tool: dict[str, list[Reading]] = defaultdict(list)
    for reading in walk_round.readings:
        by_tool[reading.tool.name].append(reading)
    return by_tool


def _sizes_m(reading: Reading) -> list[float]:
    return [round(repeat_m, 7) for repeat_m in reading.repeats_m]


def _rounded_step_m(sizes_m: Sequence[float], of: int, tool: Tool) -> float:
    """The coarser step that so many different sizes by one tool were read in [m]; 0 where it is the tool's own."""
    if len(sizes_m) < FEWEST:
        return 0.0
    times = np.array(sizes_m) / _STEPS_M[:, None]
    fits = (np.abs(times - np.round(times)) < _EXACT).sum(axis=1)
    own_m = 1.01 * tool.resolution_m
    rounded = (fits >= max(FEWEST, _ROUNDED_SHARE * of)) & (own_m < _STEPS_M)
    return float(_STEPS_M[rounded.argmax()]) if rounded.any() else 0.0


def copied(dossier: Dossier, walk_round: WalkRound) -> tuple[Copied, ...]:
    """Groups of places whose readings look copied from one of them.

    Returns
    -------
    tuple of Copied
        In the order of the readings. Left out: readings of parts at their new size, and repeats that differ.

    References
    ----------
    Binomial chance that so many of the like places fall into one step of the tool (textbook); how far parts wear apart is ours.
    """
    steps_m = rounded_steps_m(walk_round)
    kinds: dict[tuple[PartKind, Measurand], list[Reading]] = defaultdict(list)
    for reading in walk_round.readings:
        if MEASURANDS[reading.measurand].role is Role.WEAR:
            kinds[reading.place.part, reading.measurand].append(reading)
    found = []
    for (part, measurand), readings in kinds.items():
        alike: dict[tuple[float, ...], list[Reading]] = defaultdict(list)
        for reading in readings:
            alike[(reading.joints, *(round(repeat_m, 7) for repeat_m in reading.repeats_m))].append(reading)
        for same in alike.values():
            if len(same) >= FEWEST:
                chance = _chance_alike(dossier, same, len(readings), steps_m)
                if chance < UNLIKELY:
                    places = tuple(reading.place for reading in same)
                    found.append(Copied(part, measurand, places, same[0], chance))
    return tuple(found)


def _chance_alike(dossier: Dossier, same: Sequence[Reading], of: int, steps_m: dict[str, float]) -> float:
    """Chance that so many of a kind would read alike if each was measured; 1 where they are new or nothing is known of them."""
    one = same[0]
    limit = dossier.limit_of(one.place.part, one.measurand)
    if limit is None or limit.limit_m is None:
        return 1.0
    allowance_m = abs(limit.limit_m - limit.new_m)
    life_used = float(wear_line(limit).life_used(np.array([one.value_m]))[0])
    if life_used < max(_NEW, 2.0 * reading_doubt(one).u_m / allowance_m):
        return 1.0
    step_m = max(steps_m.get(one.tool.name, 0.0), one.tool.resolution_m) / one.joints
    scatter_m = math.hypot(_STEADY * one.tool.repeatability_m, _PARTS_APART * life_used * allowance_m)
    in_one_step = math.erf(step_m / (2.0 * math.sqrt(2.0) * scatter_m))
    return float(min(bdtrc(len(same) - 1, of, in_one_step) / in_one_step, 1.0))
