"""The newest reading of each size beside what it should be, and those that no part of this running gear can show."""

import datetime as dt
import math
from collections.abc import Sequence

from pitchline.match.odd_parts import SizeRead, past_new
from pitchline.outlook.lives import NEW_SIZE_SHARE, events_at
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role, measurands_of
from pitchline.trade.part_sizes import PART_SIZES, PartSize
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.history import newest_reading
from pitchline.wear.suspicion import Suspicion

Dated = tuple[dt.date, Reading]
_NO_LIMIT = PART_SIZES[PartSize.TREAD_DIAMETER].allowance
"""Wear allowance of a size without a limit, as a share of the new one: as assumed where parts are matched."""


def sizes_read(dossier: Dossier, now_h: float, suspicions: Sequence[Suspicion]) -> dict[SizeRead, Dated]:
    """The newest reading of each size that wears, but for those that a slip of hand explains: they are asked about as they are.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    now_h : float
        Later work is left out [h].
    suspicions : sequence of Suspicion
        Readings that look wrong.
    """
    slips = {(one.date, one.reading) for one in suspicions if one.held and one.instead_m is not None}
    found = {}
    for place in dossier.gear.places():
        for measurand in measurands_of(place.part) if place.part is not PartKind.SLEW_RING else ():
            newest = newest_reading(dossier, place, measurand, now_h)
            if newest is None or MEASURANDS[measurand].role is not Role.WEAR or newest[::-1] in slips:
                continue
            size = _size(dossier, place, measurand, newest[0])
            if size is not None:
                found[size] = newest[1], newest[0]
    return found


def odd_readings(dossier: Dossier, now_h: float, suspicions: Sequence[Suspicion]) -> frozenset[Dated]:
    """Readings of a part beyond new though others of its kind are not: it is another part, and its size tells nothing of wear.

    They stay out of the figures, kept with a reason or not: as the wear of this running gear they would make others look better.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    now_h : float
        Later work is left out [h].
    suspicions : sequence of Suspicion
        Readings that look wrong.
    """
    read = sizes_read(dossier, now_h, suspicions)
    odd = {one for few, is_all in past_new(list(read)) if not is_all for one in few}
    return frozenset(read[one] for one in odd)


def _size(dossier: Dossier, place: Place, measurand: Measurand, reading: Reading) -> SizeRead | None:
    limit = dossier.limit_of(place.part, measurand)
    if limit is None:
        return None
    allowance_m = _NO_LIMIT * limit.new_m if limit.limit_m is None else abs(limit.limit_m - limit.new_m)
    if allowance_m <= 0:
        return None
    events = events_at(dossier, place)
    return SizeRead(
        place,
        measurand,
        reading.value_m,
        math.hypot(
            reading_doubt(reading).u_m, NEW_SIZE_SHARE * allowance_m if limit.u_new_m is None else limit.u_new_m
        ),
        limit.new_m,
        allowance_m,
        MEASURANDS[measurand].direction is Direction.FALLS,
        events[-1].service_h if events else None,
    )
