"""What a running gear says of its own parts, and what a walk-round read of them."""

from collections.abc import Iterable, Sequence

from pitchline.match.parts import Part
from pitchline.match.ranking import PartReading
from pitchline.trade.dossier import Limit
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Direction, Measurand
from pitchline.trade.part_sizes import PART_SIZES, PartSize
from pitchline.trade.parts import PartKind
from pitchline.trade.readings import Reading

NOMINAL_M = 0.001
"""Standard uncertainty of a width or pitch as it was entered [m]: an assumption."""
_P, _M, _S = PartKind, Measurand, PartSize
_ROLLERS = (_P.BOTTOM_ROLLER, _P.UPPER_ROLLER)
MEASURED: dict[tuple[PartKind, Measurand], tuple[PartKind, PartSize]] = {
    (_P.CHAIN, _M.PITCH): (_P.CHAIN, _S.PITCH),
    (_P.BUSH, _M.BUSH_OD_FORWARD): (_P.CHAIN, _S.BUSH_DIAMETER),
    (_P.BUSH, _M.BUSH_OD_REVERSE): (_P.CHAIN, _S.BUSH_DIAMETER),
    (_P.LINK, _M.RAIL_HEIGHT): (_P.CHAIN, _S.LINK_HEIGHT),
    (_P.SHOE, _M.GROUSER_HEIGHT): (_P.SHOE, _S.GROUSER_HEIGHT),
    (_P.BOTTOM_ROLLER, _M.TREAD_DIAMETER): (_P.BOTTOM_ROLLER, _S.TREAD_DIAMETER),
    (_P.UPPER_ROLLER, _M.TREAD_DIAMETER): (_P.UPPER_ROLLER, _S.TREAD_DIAMETER),
    (_P.SPROCKET, _M.ROOT_DIAMETER): (_P.SPROCKET, _S.ROOT_DIAMETER),
    (_P.RUBBER_TRACK, _M.RUBBER_PITCH): (_P.RUBBER_TRACK, _S.RUBBER_PITCH),
}
"""What is read on a walk-round, and of which part to order it tells a size."""


def parts_of_gear(name: str, gear: RunningGear, limits: Iterable[Limit], note: str = "") -> tuple[Part, ...]:
    """The parts a running gear is made of, each with the sizes that are entered.

    Parameters
    ----------
    name : str
        What the running gear is called; each part is called so.
    gear : RunningGear
        Its counts and sizes; a pitch measured on a worn machine is no new size and left out.
    limits : iterable of Limit
        New sizes, and limits where there are any.
    note : str
        What else is said of it.

    Returns
    -------
    tuple of Part
        Those of which a size is known. Bottom rollers with one flange and with two are two parts.
    """
    sizes: dict[PartKind, dict[PartSize, float | str]] = _counted(gear)
    worn: dict[PartKind, dict[PartSize, float]] = {}
    for limit in limits:
        known = MEASURED.get((limit.part, limit.measurand))
        if known is None or limit.new_m <= 0 or not gear.count(known[0]):
            continue
        part, size = known
        sizes.setdefault(part, {})[size] = limit.new_m
        if limit.limit_m is not None:
            worn.setdefault(part, {})[size] = abs(limit.limit_m - limit.new_m)
    found = []
    for part, own in sizes.items():
        for flanges in _flanges(gear, part):
            whole = own if flanges is None else own | {_S.FLANGES: flanges}
            if whole and gear.count(part):
                found.append(Part(name, part, whole, worn.get(part, {}), note))
    return tuple(found)


def _counted(gear: RunningGear) -> dict[PartKind, dict[PartSize, float | str]]:
    pitch: dict[PartSize, float | str] = {} if gear.pitch_measured else {_S.PITCH: gear.pitch_m}
    if not gear.has_chain:
        links: dict[PartSize, float | str] = {_S.WIDTH: gear.shoe_width_m, _S.LINKS: float(gear.joints_per_side)}
        if not gear.pitch_measured:
            links[_S.RUBBER_PITCH] = gear.pitch_m
        return {
            _P.RUBBER_TRACK: links,
            _P.SPROCKET: {_S.TEETH: float(gear.sprocket_teeth)},
            **{part: {} for part in _ROLLERS},
        }
    shoe: dict[PartSize, float | str] = {_S.WIDTH: gear.shoe_width_m}
    if gear.grousers_per_shoe:
        shoe[_S.GROUSERS] = float(gear.grousers_per_shoe)
    if gear.bolts_per_shoe:
        shoe[_S.BOLTS] = float(gear.bolts_per_shoe)
    pad: dict[PartSize, float | str] = {_S.BOLTS: float(gear.bolts_per_pad)} if gear.bolts_per_pad else {}
    return {
        _P.CHAIN: {_S.JOINTS: float(gear.joints_per_side), **pitch},
        _P.SHOE: shoe,
        _P.PAD: pad,
        _P.SPROCKET: {_S.TEETH: float(gear.sprocket_teeth), **pitch},
        **{part: {} for part in _ROLLERS},
    }


def _flanges(gear: RunningGear, part: PartKind) -> Sequence[float | None]:
    """Flanges of the bottom rollers there are; what is not said of other parts is not told."""
    if part is not _P.BOTTOM_ROLLER or not gear.two_flange_rollers:
        return (None,)
    return (1.0, 2.0) if len(gear.two_flange_rollers) < gear.bottom_rollers_per_side else (2.0,)


def sizes_read(readings: Iterable[Reading], part: PartKind) -> dict[PartSize, Reading]:
    """What a walk-round read of a part to order: of each size the least worn reading, as a worn one tells less.

    Parameters
    ----------
    readings : iterable of Reading
        Of one walk-round.
    part : PartKind
        The part to order.
    """
    found: dict[PartSize, Reading] = {}
    for one in readings:
        kind, size = MEASURED.get((one.place.part, one.measurand), (None, None))
        if kind is not part or size is None:
            continue
        way = 1.0 if PART_SIZES[size].wears is Direction.FALLS else -1.0
        known = found.get(size)
        if known is None or way * one.value_m > way * known.value_m:
            found[size] = one
    return found


def read_of_gear(
    gear: RunningGear | None, readings: Sequence[Reading], doubts_m: Sequence[float]
) -> dict[tuple[PartKind, PartSize], PartReading]:
    """What is known of a whole running gear by counting and reading, for a list of running gears.

    Parameters
    ----------
    gear : RunningGear or None
        As counted; None where its counts are the list's own and tell nothing.
    readings : sequence of Reading
        Of one walk-round.
    doubts_m : sequence of float
        Standard uncertainty of each [m].

    Returns
    -------
    dict of (PartKind, PartSize) to PartReading
        Of each size the least worn reading.
    """
    found = {
        (part, size): PartReading(size, value, NOMINAL_M)
        for part, sizes in (_counted(gear) if gear is not None else {}).items()
        for size, value in sizes.items()
        if (part, size) != (_P.SPROCKET, _S.PITCH)  # the chain's, once
    }
    doubt = {id(one): u_m for one, u_m in zip(readings, doubts_m, strict=True)}
    for part in dict.fromkeys(part for part, _ in MEASURED.values()):
        for size, one in sizes_read(readings, part).items():
            found[part, size] = PartReading(size, one.value_m, doubt[id(one)])
    return found
