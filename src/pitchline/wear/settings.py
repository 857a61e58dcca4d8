"""Sag and adjuster readings that cannot be: they are set, not worn, so only wide bounds and slips of unit are asked about."""

import datetime as dt

from pitchline.trade.dossier import Dossier, PermittedRange
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.readings import Reading
from pitchline.trade.saying import saying
from pitchline.wear.slips import Slip, SlipKind, shown, slips
from pitchline.wear.suspicion import Suspicion, as_read, asked_of

FAR = 3.0
"""A setting this many times beyond its range is checked for a slip of hand. Our own judgement."""


def suspect_setting(dossier: Dossier, reading: Reading, date: dt.date) -> Suspicion | None:
    """What looks wrong about one reading of sag or adjuster extension.

    Parameters
    ----------
    dossier : Dossier
        The machine, with the yard's ranges and the adjuster's stroke.
    reading : Reading
        The reading of a quantity that is set.
    date : datetime.date
        The day of its walk-round.

    Returns
    -------
    Suspicion or None
        Held where the value is more than any tracked machine shows or than the adjuster can travel, or lies threefold outside
        the yard's range while inches for millimetres (or the reverse) or a slipped decimal mark would bring it inside. A
        setting that is merely out of its range is no slip: it is put right on the machine, not on the sheet.
    """
    band = dossier.range_of(reading.place.part, reading.measurand)
    most_m = most_setting_m(dossier, reading)
    slip = _slip_into(band, reading)
    if reading.value_m > most_m:
        what = saying("reading.more_than_it_can_show", read=as_read(reading), most=shown(most_m, reading))
    elif slip is not None and band is not None:
        least, most = shown(band.least_m, reading), shown(band.most_m, reading)
        what = saying("reading.far_from_range", read=as_read(reading), least=least, most=most)
    else:
        return None
    told = asked_of(reading, what, slip.said if slip else None)
    return Suspicion(reading, date, told, slip.whole_m if slip else None, held=not reading.kept_because)


def most_setting_m(dossier: Dossier, reading: Reading) -> float:
    """The most that a reading of a setting can show on this machine.

    Returns
    -------
    float
        Length [m].
    """
    most_m = MEASURANDS[reading.measurand].most_m
    stroke_m = dossier.gear.adjuster_stroke_m
    if reading.measurand is Measurand.ADJUSTER_EXTENSION and stroke_m is not None:
        return min(most_m, 1.05 * stroke_m)
    return most_m


def _slip_into(band: PermittedRange | None, reading: Reading) -> Slip | None:
    """The first slip of unit or decimal mark that brings a far-off setting inside its range."""
    if band is None or band.least_m / FAR <= reading.value_m <= band.most_m * FAR:
        return None
    kinds = (SlipKind.INCHES, SlipKind.MILLIMETRES, SlipKind.DECIMAL)
    inside = [
        slip for slip in slips(reading) if slip.kind in kinds and band.least_m <= slip.value_m <= band.most_m
    ]
    return min(inside, key=lambda slip: (slip.kind, slip.whole_m)) if inside else None
