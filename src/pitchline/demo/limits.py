"""Invented new sizes, limits and ranges for the demo yard: round figures that hang together by size.

Every figure follows from one size, the pitch of the chain (or what the chain's pitch would be, under rubber), by shares we
made up. They are nobody's limits and fit no machine.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from pitchline.trade.assumed_limits import assumed_limit_m
from pitchline.trade.dossier import KindLife, Limit, LineShape, PermittedRange
from pitchline.trade.machine import RunningGear, SprocketGaps
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.units import INCH_M, parse_length

SOURCE = "invented for the demo yard; no maker's figure"
METRIC_GRAIN_M = 0.0005
INCH_GRAIN_M = INCH_M / 32

Quantity = tuple[PartKind, Measurand]
_Rounding = Callable[[float], float]

_BUSH, _BOTTOM, _UPPER = PartKind.BUSH, PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER
_GROUSER_SHARE = {1: 0.32, 2: 0.18, 3: 0.13}


def _rounding(grain_m: float) -> _Rounding:
    """To the grain, and to twice the grain from 50 mm up."""

    def rounded(length_m: float) -> float:
        step_m = grain_m * (2 if length_m >= 0.05 else 1)
        return round(max(round(length_m / step_m), 1) * step_m, 7)

    return rounded


def root_diameter_m(gear: RunningGear, bush_m: float) -> float:
    """Diameter across the gap bottoms on which a chain of this pitch lies.

    Parameters
    ----------
    gear : RunningGear
        Its pitch, teeth and gaps count.
    bush_m : float
        Diameter of what lies in the gap [m], above zero.

    Returns
    -------
    float
        Pitch circle less one bush [m].

    References
    ----------
    Definition: joints are the corners of a regular polygon on the pitch circle.

    Examples
    --------
    >>> from pitchline.trade.machine import TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 48, 0.2, 0.6, 12, SprocketGaps.EACH, 8, 2)
    >>> round(root_diameter_m(gear, 0.06), 4)
    0.7127
    """
    joint_gaps = 2 if gear.sprocket_gaps is SprocketGaps.EVERY_SECOND else 1
    return gear.pitch_m / math.sin(joint_gaps * math.pi / gear.sprocket_teeth) - bush_m


def limits_for(gear: RunningGear, scale_m: float, grain_m: float = METRIC_GRAIN_M) -> tuple[Limit, ...]:
    """Invented limits of every quantity that wears on a running gear.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    scale_m : float
        The size everything is scaled by [m]: the chain's pitch, or what it would be [m], above zero.
    grain_m : float
        What figures are rounded to [m].

    Returns
    -------
    tuple of Limit
        Each quantity once, every source saying that it is invented.
    """
    rounded = _rounding(grain_m)
    chosen = [
        *_wheel_limits(gear, scale_m, rounded),
        *(_chain_limits(gear, scale_m, rounded) if gear.has_chain else _rubber_limits(gear, scale_m, rounded)),
    ]
    if gear.slew_ring:
        rock_m = round(scale_m * 0.002, 4)
        chosen.append((PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK, rock_m, rock_m * 5))
    return tuple(Limit(part, what, _typed(new), _typed(limit), source=SOURCE) for part, what, new, limit in chosen)


def _typed(length_m: float) -> float:
    """The length as it would be if somebody had typed it in millimetres."""
    return parse_length(f"{round(length_m * 1000, 4)} mm").si


_Sizes = Iterator[tuple[PartKind, Measurand, float, float]]


def _chain_limits(gear: RunningGear, scale_m: float, rounded: _Rounding) -> _Sizes:
    pitch_m, bush_m, rail_m = gear.pitch_m, rounded(0.32 * scale_m), rounded(0.56 * scale_m)
    worn_bush_m = rounded(0.91 * bush_m)
    yield PartKind.CHAIN, Measurand.PITCH, pitch_m, pitch_m + rounded(0.03 * pitch_m)
    yield _BUSH, Measurand.BUSH_OD_FORWARD, bush_m, worn_bush_m
    yield _BUSH, Measurand.BUSH_OD_REVERSE, bush_m, worn_bush_m
    yield PartKind.LINK, Measurand.RAIL_HEIGHT, rail_m, rounded(rail_m - 0.055 * scale_m)
    if gear.has_grousers:
        grouser_m = rounded(_GROUSER_SHARE[gear.grousers_per_shoe] * scale_m)
        yield PartKind.SHOE, Measurand.GROUSER_HEIGHT, grouser_m, rounded(0.4 * grouser_m)
    if gear.has_pads:
        pad_m = rounded(0.32 * scale_m)
        yield PartKind.PAD, Measurand.PAD_HEIGHT, pad_m, rounded(0.4 * pad_m)


def _rubber_limits(gear: RunningGear, scale_m: float, rounded: _Rounding) -> _Sizes:
    lug_m, guide_m = rounded(0.18 * scale_m), rounded(0.25 * scale_m)
    track = PartKind.RUBBER_TRACK
    yield track, Measurand.LUG_HEIGHT, lug_m, rounded(0.25 * lug_m)
    yield track, Measurand.RUBBER_PITCH, gear.pitch_m, gear.pitch_m + rounded(0.03 * gear.pitch_m)
    yield track, Measurand.GUIDE_LUG_WIDTH, guide_m, rounded(0.7 * guide_m)


def _wheel_limits(gear: RunningGear, scale_m: float, rounded: _Rounding) -> _Sizes:
    tread_m, flange_m, upper_m = rounded(0.84 * scale_m), rounded(0.13 * scale_m), rounded(0.66 * scale_m)
    yield _BOTTOM, Measurand.TREAD_DIAMETER, tread_m, rounded(tread_m - 0.07 * scale_m)
    yield _BOTTOM, Measurand.FLANGE_THICKNESS, flange_m, rounded(0.65 * flange_m)
    if gear.upper_rollers_per_side:
        yield _UPPER, Measurand.TREAD_DIAMETER, upper_m, rounded(upper_m - 0.07 * scale_m)
    depth_m = rounded(0.1 * scale_m)
    yield PartKind.IDLER, Measurand.TREAD_DEPTH, depth_m, depth_m + rounded(0.05 * scale_m)
    in_gap_m = 0.32 * (scale_m if gear.has_chain else gear.pitch_m)
    root_m, tooth_m = rounded(root_diameter_m(gear, in_gap_m)), rounded(0.26 * scale_m)
    yield PartKind.SPROCKET, Measurand.ROOT_DIAMETER, root_m, rounded(root_m - 0.06 * scale_m)
    yield PartKind.SPROCKET, Measurand.TOOTH_THICKNESS, tooth_m, rounded(0.65 * tooth_m)


def ranges_for(gear: RunningGear, scale_m: float) -> tuple[PermittedRange, ...]:
    """Invented ranges for sag and adjuster extension.

    Parameters
    ----------
    gear : RunningGear
        The running gear; without an adjuster stroke there is no range for the adjuster.
    scale_m : float
        The size everything is scaled by [m], above zero.

    Returns
    -------
    tuple of PermittedRange
        One for sag, and one for the adjuster where its stroke is known.
    """
    track = PartKind.CHAIN if gear.has_chain else PartKind.RUBBER_TRACK
    least_m, most_m = (round(share * scale_m, 2) for share in ((0.15, 0.25) if gear.has_chain else (0.1, 0.2)))
    bands = [PermittedRange(track, Measurand.SAG, least_m, most_m, source=SOURCE)]
    if gear.adjuster_stroke_m:
        most_m = round(0.8 * gear.adjuster_stroke_m, 3)
        bands.append(
            PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, most_m, source=SOURCE)
        )
    return tuple(bands)


def shaped(limit: Limit, shape: LineShape) -> Limit:
    """A limit whose wear line is not a plain straight one.

    Parameters
    ----------
    limit : Limit
        New size and limit [m].
    shape : LineShape
        Straight and shape-preserving get one and two points between; a tapered bar gets a tip and a root width.
    """
    if limit.limit_m is None or shape is LineShape.FLAT_ON_ROUND:
        return replace(limit, shape=shape)
    if shape is LineShape.TAPERED_BAR:
        tip_m = round(0.25 * limit.new_m, 3)
        return replace(limit, shape=shape, tip_width_m=tip_m, root_width_m=2 * tip_m)
    points = ((0.6, 0.5),) if shape is LineShape.STRAIGHT else ((0.35, 0.25), (0.7, 0.6))
    between = tuple(
        (round(limit.new_m + depth * (limit.limit_m - limit.new_m), 4), life_used) for depth, life_used in points
    )
    return replace(limit, shape=shape, between=between)


def without(limits: Iterable[Limit], missing: Iterable[Quantity]) -> tuple[Limit, ...]:
    """Limits as a yard has them that never entered some.

    Parameters
    ----------
    limits : iterable of Limit
        All of them.
    missing : iterable of (PartKind, Measurand)
        Those without a limit; the new size stays for the first, the rest are left out.

    Returns
    -------
    tuple of Limit
        The rest, and the first missing one with its new size alone.
    """
    gone = list(missing)
    kept = []
    for limit in limits:
        quantity = (limit.part, limit.measurand)
        if quantity not in gone:
            kept.append(limit)
        elif quantity == gone[0]:
            kept.append(replace(limit, limit_m=None))
    return tuple(kept)


def by_rule(limits: Iterable[Limit], taken: Iterable[Quantity]) -> tuple[Limit, ...]:
    """Limits as a yard has them that took some by rule of thumb, for want of a manual."""
    rules = set(taken)
    return tuple(
        replace(one, limit_m=assumed_limit_m(one.part, one.measurand, one.new_m), assumed=True)
        if (one.part, one.measurand) in rules
        else one
        for one in limits
    )


def kind_lives(lives_h: Iterable[tuple[PartKind, Measurand, float]]) -> tuple[KindLife, ...]:
    """What a yard writes down as usual lives.

    Parameters
    ----------
    lives_h : iterable of (PartKind, Measurand, float)
        Part, quantity and hours on middling ground [h].
    """
    return tuple(KindLife(part, measurand, life_h) for part, measurand, life_h in lives_h)
