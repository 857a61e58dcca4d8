"""Typical lives to start from where a yard has entered none: by family of machine, part, chain type and share of travelling.

Weak, ours, and meant to be outweighed by readings. No open wear rates for crawler construction machines were found, neither by
family nor by share of travelling nor by part and ground: every figure here is an assumption of this project, and says so where it
is used.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pitchline.outlook.paths import GROUNDS, FloatArray
from pitchline.trade.dossier import Dossier, KindLife
from pitchline.trade.ground import GroundClass
from pitchline.trade.machine import ChainType, MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import as_figure

DEFAULT_SPREAD = 0.6
"""Standard deviation of the logarithm: two such lives in three lie between about half and twice the figure."""

_P, _M = PartKind, Measurand

TYPICAL_LIFE_H: dict[tuple[PartKind, Measurand], float] = {
    (_P.CHAIN, _M.PITCH): 5000.0,
    (_P.BUSH, _M.BUSH_OD_FORWARD): 5000.0,
    (_P.BUSH, _M.BUSH_OD_REVERSE): 9000.0,
    (_P.LINK, _M.RAIL_HEIGHT): 6000.0,
    (_P.SHOE, _M.GROUSER_HEIGHT): 5000.0,
    (_P.PAD, _M.PAD_HEIGHT): 1800.0,
    (_P.BOTTOM_ROLLER, _M.TREAD_DIAMETER): 6000.0,
    (_P.BOTTOM_ROLLER, _M.FLANGE_THICKNESS): 8000.0,
    (_P.UPPER_ROLLER, _M.TREAD_DIAMETER): 7000.0,
    (_P.UPPER_ROLLER, _M.FLANGE_THICKNESS): 9000.0,
    (_P.IDLER, _M.TREAD_DEPTH): 7000.0,
    (_P.SPROCKET, _M.ROOT_DIAMETER): 5500.0,
    (_P.SPROCKET, _M.TOOTH_THICKNESS): 5000.0,
    (_P.RUBBER_TRACK, _M.LUG_HEIGHT): 2000.0,
    (_P.RUBBER_TRACK, _M.RUBBER_PITCH): 3000.0,
    (_P.RUBBER_TRACK, _M.GUIDE_LUG_WIDTH): 3000.0,
    (_P.SLEW_RING, _M.SLEW_RING_ROCK): 12000.0,
}
"""Hours from new to the limit of an excavator's part on middling ground [h]. Assumptions of this project; orders of magnitude are
common practice, no source."""


class WearsBy(StrEnum):
    """What wears a group of parts."""

    JOINT = "joint"
    DRIVE = "drive"
    ROLLING = "rolling"
    GROUND = "ground"
    RUBBER = "rubber"
    HOURS = "hours"


GROUPS: dict[PartKind, WearsBy] = {
    _P.CHAIN: WearsBy.JOINT,
    _P.BUSH: WearsBy.DRIVE,
    _P.SPROCKET: WearsBy.DRIVE,
    _P.LINK: WearsBy.ROLLING,
    _P.BOTTOM_ROLLER: WearsBy.ROLLING,
    _P.UPPER_ROLLER: WearsBy.ROLLING,
    _P.IDLER: WearsBy.ROLLING,
    _P.SHOE: WearsBy.GROUND,
    _P.PAD: WearsBy.RUBBER,
    _P.RUBBER_TRACK: WearsBy.RUBBER,
    _P.SLEW_RING: WearsBy.HOURS,
}
"""Pins in their bushes; bushes on sprocket teeth; rails, wheels and treads; grousers in the ground; rubber; whatever goes with
the engine hours alone."""


@dataclass(frozen=True, slots=True)
class Family:
    """How one family of machine works its running gear.

    Parameters
    ----------
    low, usual, high : float
        Share of the engine hours in which it travels [1]: 1 machine in 20 travels less, its usual one, 1 in 20 more.
    life : dict of WearsBy to float
        Life of its parts at the usual share, as a multiple of an excavator's [1]; 1 where none is named.
    spread : float
        Further standard deviation of the logarithm of its lives [1].
    by_hours : float
        Share of the wear that goes with the hours and not with the metres, at the usual share of travelling [1]: slewing, digging
        and loading work the joints of a machine that stands.

    References
    ----------
    Assumptions of this project. That a dozer's or a loading shovel's running gear lasts about half as long as an
    excavator's is common practice, no source. By the metres travelled alone it would be a tenth; their parts are made for it.
    """

    low: float
    usual: float
    high: float
    life: dict[WearsBy, float]
    spread: float
    by_hours: float


_JOINT, _DRIVE, _ROLLING, _GROUND, _RUBBER = (
    WearsBy.JOINT,
    WearsBy.DRIVE,
    WearsBy.ROLLING,
    WearsBy.GROUND,
    WearsBy.RUBBER,
)

FAMILIES: dict[MachineKind, Family] = {
    MachineKind.EXCAVATOR: Family(0.05, 0.10, 0.30, {}, 0.0, 0.5),
    MachineKind.DOZER: Family(
        0.60, 0.80, 0.95, {_JOINT: 0.6, _DRIVE: 0.5, _ROLLING: 0.6, _GROUND: 0.45, _RUBBER: 0.6}, 0.3, 0.2
    ),
    MachineKind.TRACK_LOADING_SHOVEL: Family(
        0.50, 0.70, 0.90, {_JOINT: 0.55, _DRIVE: 0.5, _ROLLING: 0.55, _GROUND: 0.4, _RUBBER: 0.6}, 0.3, 0.3
    ),
    MachineKind.PAVER: Family(0.40, 0.60, 0.90, {}, 0.3, 0.2),
    MachineKind.OTHER_TRACKED: Family(0.05, 0.30, 0.80, {}, 0.3, 0.3),
}
"""Assumptions of this project. A paver travels most of its hours, but at a walking pace and on a made bed: it is given an
excavator's lives."""

CHAIN_LIFE: dict[ChainType, float] = {ChainType.DRY: 0.6, ChainType.SEALED: 1.0, ChainType.SEALED_AND_OILED: 1.8}
"""Life of the pitch by chain type, against a sealed chain [1]: pin and bush wear from inside, where the oil is or is not. An
assumption of this project; a joint that has lost its oil is taken to stretch 2 to 5 times as fast (assumption)."""
UNKNOWN_CHAIN_SPREAD = 0.3
"""Further standard deviation of the logarithm of the pitch's life where nobody said the chain type [1]: half way from sealed to
oiled. An assumption of this project."""

_TWENTIETH = 1.6449
"""Standard normal quantile of 0.95."""


def _pace(heavy: float, harsh: float) -> FloatArray:
    pace = np.ones(GROUNDS)
    pace[GroundClass.SHARP], pace[GroundClass.HARSH] = heavy, harsh
    return pace


GROUND_PACE: dict[WearsBy, FloatArray] = {
    WearsBy.JOINT: _pace(1.4, 0.9),
    WearsBy.DRIVE: _pace(1.4, 0.9),
    WearsBy.ROLLING: _pace(1.0, 1.25),
    WearsBy.GROUND: _pace(0.9, 1.5),
    WearsBy.RUBBER: _pace(0.9, 1.6),
    WearsBy.HOURS: _pace(1.0, 1.0),
}
"""Pace of wear of a group of parts on each ground against that of all parts together there [1]: sharp sand eats pins and bushes,
rock breaks shoes and links. Machines wear faster in sand than in rock on the whole (a published remark without figures); the
figures are assumptions of this project. On gentle to middling ground all parts go alike."""


def ground_pace(kinds: tuple[KindLife, ...]) -> FloatArray:
    """Pace of wear of each kind of part on each ground, beside the ground's own effect on all.

    Returns
    -------
    ndarray, shape (k, g)
        Multiples [1], above zero; 1 on middling ground.

    References
    ----------
    Assumptions of this project.
    """
    return np.array([GROUND_PACE[GROUPS[kind.part]] for kind in kinds]).reshape(-1, GROUNDS)


def travel_pace(dossier: Dossier) -> tuple[float, float]:
    """How fast travelling parts wear against those of a machine of the family that travels its usual share.

    Parameters
    ----------
    dossier : Dossier
        The machine; its share of travelling where somebody entered it.

    Returns
    -------
    pace : float
        Multiple of the usual wear an hour [1]; 1 where the usual share is assumed.
    spread : float
        Standard deviation of its logarithm [1]; 0 where the share was entered.

    References
    ----------
    Our own plain model: part of the wear goes with the hours, the rest with the hours travelled; an assumption.
    """
    family = FAMILIES[dossier.machine.kind]
    if dossier.travel_share is None:
        doubt = math.log(family.high / family.low) / (2 * _TWENTIETH)
        return 1.0, (1 - family.by_hours) * doubt
    return family.by_hours + (1 - family.by_hours) * dossier.travel_share / family.usual, 0.0


def kind_life(dossier: Dossier, part: PartKind, measurand: Measurand) -> tuple[KindLife, bool]:
    """Typical life of a kind of part, and whether the yard entered it.

    Parameters
    ----------
    dossier : Dossier
        The machine with the yard's own expectations.
    part : PartKind
        The part.
    measurand : Measurand
        The quantity that reaches its limit.

    Returns
    -------
    life : KindLife
        The yard's own, else the project's weak one for this family of machine, chain type and share of travelling.
    entered : bool
        True for the yard's own.
    """
    for life in dossier.kind_lives:
        if life.part is part and life.measurand is measurand:
            return life, True
    wears_by, family = GROUPS[part], FAMILIES[dossier.machine.kind]
    life_h, spread2 = TYPICAL_LIFE_H[part, measurand], DEFAULT_SPREAD**2
    if wears_by is not WearsBy.HOURS:
        pace, doubt = travel_pace(dossier)
        life_h *= family.life.get(wears_by, 1.0) / pace
        spread2 += family.spread**2 + doubt**2
    if wears_by is WearsBy.JOINT:
        inside = dossier.gear.chain_type
        life_h *= 1.0 if inside is None else CHAIN_LIFE[inside]
        spread2 += UNKNOWN_CHAIN_SPREAD**2 if inside is None else 0.0
    return KindLife(part, measurand, life_h, math.sqrt(spread2)), False


def taken_for(dossier: Dossier) -> str:
    """What machine the typical lives of the project's own are taken for.

    Returns
    -------
    str
        Such as "an excavator taken to travel 10 % of its hours".
    """
    kind, family, share = dossier.machine.kind.label, FAMILIES[dossier.machine.kind], dossier.travel_share
    if dossier.machine.kind is MachineKind.OTHER_TRACKED:
        kind = "tracked machine of another kind"
    article = "an" if kind[0] in "aeo" else "a"
    if share is not None:
        return f"{article} {kind} travelling {as_figure(100 * share, '.3g')} % of its hours"
    usual = f"{100 * family.usual:.0f} % of its hours ({100 * family.low:.0f} to {100 * family.high:.0f} %)"
    return f"{article} {kind} taken to travel {usual}"


def life_said(dossier: Dossier, part: PartKind) -> str:
    """What a typical life of the project's own was taken for.

    Returns
    -------
    str
        Family, share of travelling and chain type, as far as they move it.
    """
    said = "our assumption, no source"
    if GROUPS[part] is WearsBy.HOURS:
        return said
    inside = dossier.gear.chain_type.label if dossier.gear.chain_type else "of a type nobody entered"
    chain = f", its chain {inside}" if GROUPS[part] is WearsBy.JOINT else ""
    return f"{said}, for {taken_for(dossier)}{chain}"
