"""Which machine a running gear is from, whether it is what is said of it, what on it is odd. It moves no figure and no call."""

from pitchline.judge.machine_by_day import Known
from pitchline.judge.sizes_read import sizes_read
from pitchline.match.gear_kind import against_papers, gear_kind
from pitchline.match.odd_parts import odd_parts
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.verdict import Identity
from pitchline.wear.history import standing


def whose_gear(known: Known) -> Identity:
    """What a running gear says of its machine, what is said of it that it does not bear out, and its odd parts.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    """
    dossier = known.dossier
    found = gear_kind(dossier.machine, dossier.gear)
    bush = dossier.limit_of(PartKind.BUSH, Measurand.BUSH_OD_FORWARD)
    odd = odd_parts(
        dossier.gear,
        list(sizes_read(dossier, known.now_h, known.suspicions)),
        bush.new_m if bush is not None else None,
        standing(dossier, dossier.walk_rounds[-1]),
    )
    against = against_papers(dossier.machine, dossier.gear, found)
    return Identity(tuple(found.chances.items()), found.clues, found.width, against, odd)
