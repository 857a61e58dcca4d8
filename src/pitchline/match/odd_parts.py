"""Parts that do not belong together on one running gear: by their readings, by its geometry, and by what was seen.

An odd part is told and looked at; it changes no figure and no call. Borders are assumptions.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import median

from pitchline.shape.sprocket import pitch_diameter_m
from pitchline.trade.findings import Finding, FindingKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

SURE = 3.0
"""Standard uncertainties from which a size is past doubt."""
LEAST = 0.1
"""Share of the wear allowance that counts at least."""
FELLOWS, LESS_WORN, MORE_WORN = 4, 0.3, 1.0
"""Rollers held against each other at least; shares of the wear allowance by which one differs too far from the others."""
CONSISTENT = 1.4826
"""A median absolute deviation times this is a standard deviation, of normal readings."""
ROOT = 0.02
"""Share by which a sprocket's root may differ from what pitch, teeth and bush give."""
_WORN_ROOT = 0.12
"""Share that wear may take off it besides."""


class OddKind(StrEnum):
    """In what way a part is odd."""

    BEYOND_NEW = "beyond_new"
    LESS_WORN = "less_worn"
    MORE_WORN = "more_worn"
    SPROCKET = "sprocket"
    JOINTS = "joints"
    SEEN = "seen"


@dataclass(frozen=True, slots=True)
class Odd:
    """A part, or all of its kind, that does not belong.

    Parameters
    ----------
    kind : OddKind
        In what way.
    places : tuple of Place
        Which.
    said : Saying
        What is odd about it.
    look : Saying
        What tells whether it is.
    """

    kind: OddKind
    places: tuple[Place, ...]
    said: Saying
    look: Saying


@dataclass(frozen=True, slots=True)
class SizeRead:
    """One size as read, beside what it should be.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What.
    value_m, u_m : float
        As read, and its standard uncertainty with that of the new size [m].
    new_m : float
        New [m].
    allowance_m : float
        Wear allowance [m], above 0.
    falls : bool
        Whether it gets smaller with wear.
    since_h : float or None
        Service hours at which it was last renewed [h]; None where nothing is recorded.
    """

    place: Place
    measurand: Measurand
    value_m: float
    u_m: float
    new_m: float
    allowance_m: float
    falls: bool
    since_h: float | None

    @property
    def past_new_m(self) -> float:
        """By how much it is less worn than new [m]; below 0 where it is worn."""
        return self.value_m - self.new_m if self.falls else self.new_m - self.value_m

    @property
    def is_past_new(self) -> bool:
        """Whether that is past doubt: wear goes one way only."""
        return self.past_new_m > max(SURE * self.u_m, LEAST * self.allowance_m)


def odd_parts(
    gear: RunningGear, sizes: Sequence[SizeRead], bush_m: float | None, findings: Iterable[Finding]
) -> tuple[Odd, ...]:
    """What is odd about the parts of a running gear.

    Parameters
    ----------
    gear : RunningGear
        Its counts and pitch.
    sizes : sequence of SizeRead
        The newest reading of each size.
    bush_m : float or None
        New outside diameter of a bush [m]; None where it is not known.
    findings : iterable of Finding
        What was seen and still stands.
    """
    seen = [
        Odd(OddKind.SEEN, (one.place,), saying("whose.seen", at=one.place, note=one.note), saying("whose.compare"))
        for one in findings
        if one.kind is FindingKind.ODD_PART
    ]
    return (*seen, *_past_new(sizes), *_fellows(sizes), *_sprockets(gear, sizes, bush_m), *_joints(gear))


def past_new(sizes: Sequence[SizeRead]) -> list[tuple[list[SizeRead], bool]]:
    """Sizes less worn than new, by part and quantity, and whether all that were read are.

    Parameters
    ----------
    sizes : sequence of SizeRead
        As in `odd_parts`.
    """
    alike: dict[tuple[PartKind, Measurand], list[SizeRead]] = {}
    for one in sizes:
        alike.setdefault((one.place.part, one.measurand), []).append(one)
    few = ((read, [one for one in read if one.is_past_new]) for read in alike.values())
    return [(past, len(past) == len(read) > 1) for read, past in few if past]


def _past_new(sizes: Sequence[SizeRead]) -> list[Odd]:
    """Less worn than new: wear goes one way only, so the part or the new size is another."""
    found = []
    for past, is_all in past_new(sizes):
        most = max(past, key=lambda one: one.past_new_m)
        places = tuple(one.place for one in past)
        said = saying(
            f"whose.{'all_' if is_all else ''}{'larger' if most.falls else 'shorter'}_than_new",
            places=places,
            part=most.place.part,
            quantity=most.measurand,
            by_m=most.past_new_m,
            n=len(past),
        )
        look = saying("whose.check_new_size" if is_all else "whose.compare")
        found.append(Odd(OddKind.BEYOND_NEW, places, said, look))
    return found


def _fellows(sizes: Sequence[SizeRead]) -> list[Odd]:
    """One roller among many that wear does not explain, and no work that is recorded."""
    found = []
    for part in (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER):
        alike = [one for one in sizes if one.place.part is part and one.measurand is Measurand.TREAD_DIAMETER]
        if len(alike) < FELLOWS:
            continue
        for one in alike:
            others = [other.value_m for other in alike if other is not one and other.since_h == one.since_h]
            if one.is_past_new or len(others) < FELLOWS - 1:
                continue
            middle = median(others)
            spread = CONSISTENT * median(abs(other - middle) for other in others)
            apart, sure = one.value_m - middle, SURE * math.hypot(one.u_m, spread)
            less = apart > max(sure, LESS_WORN * one.allowance_m)
            if less or -apart > max(sure, MORE_WORN * one.allowance_m):
                kind = OddKind.LESS_WORN if less else OddKind.MORE_WORN
                said = saying(f"whose.{kind.value}", at=one.place, by_m=abs(apart), n=len(others))
                found.append(Odd(kind, (one.place,), said, saying("whose.compare")))
    return found


def _sprockets(gear: RunningGear, sizes: Sequence[SizeRead], bush_m: float | None) -> list[Odd]:
    """A root that pitch, teeth and bush do not give."""
    if bush_m is None or gear.pitch_measured or not gear.has_chain:
        return []
    circle_m = float(pitch_diameter_m(gear.pitch_m, gear.sprocket_teeth, gear.sprocket_gaps))
    high = circle_m - bush_m
    low = circle_m * math.cos(math.pi / 2 / gear.sprocket_teeth) - bush_m if gear.sprocket_teeth % 2 else high
    found = []
    for one in sizes:
        if one.measurand is not Measurand.ROOT_DIAMETER:
            continue
        room = SURE * one.u_m
        if low * (1 - ROOT - _WORN_ROOT) - room <= one.value_m <= high * (1 + ROOT) + room:
            continue
        said = saying(
            "whose.sprocket",
            at=one.place,
            read_m=one.value_m,
            teeth=gear.sprocket_teeth,
            pitch_m=gear.pitch_m,
            should_m=high,
        )
        found.append(Odd(OddKind.SPROCKET, (one.place,), said, saying("whose.count_teeth")))
    return found


def _joints(gear: RunningGear) -> list[Odd]:
    left, right = gear.joints(Side.LEFT), gear.joints(Side.RIGHT)
    if left == right:
        return []
    places = tuple(Place(PartKind.CHAIN, side) for side in (Side.LEFT, Side.RIGHT))
    said = saying("whose.joints_unlike", left=left, right=right)
    return [Odd(OddKind.JOINTS, places, said, saying("whose.count_joints"))]
