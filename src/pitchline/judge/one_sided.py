"""Like parts of one side that all read far more worn than those of the other: not misread, but worn by one cause.

See docs/explanation/calls.md.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from pitchline.judge.machine_by_day import Known
from pitchline.outlook.machine import MachineOutlook
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying
from pitchline.wear.copied import copied

_FEWEST = 3
"""Like parts from which readings bear each other out: our own. Three slips that all err by much the same are not believed."""
_APART = 0.25
"""Life used by which each lies beyond every one of the other side [1]: our own."""


@dataclass(frozen=True, slots=True)
class OneSided:
    """Like parts of one side that bear each other out."""

    part: PartKind
    measurand: Measurand
    side: Side
    places: tuple[Place, ...]

    @property
    def said(self) -> Saying:
        """What to do about it."""
        return saying(
            "remark.one_sided",
            side=self.side,
            other=Side.RIGHT if self.side is Side.LEFT else Side.LEFT,
            count=len(self.places),
            part=self.part,
            quantity=self.measurand,
        )


def one_sided(known: Known, outlook: MachineOutlook | None) -> tuple[OneSided, ...]:
    """Groups of like parts of which three or more on one side read far worse than every one on the other.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        With every reading that is not held back.

    Returns
    -------
    tuple of OneSided
        By the last walk-round alone. Figures that look copied from one reading bear nothing out.

    References
    ----------
    Our own rule; see docs/explanation/calls.md. That wear on one side has a cause is common practice, no source.
    """
    if outlook is None:
        return ()
    last = known.dossier.walk_rounds[-1]
    written_off = {(place, group.measurand) for group in copied(known.dossier, last) for place in group.places}
    used: dict[tuple[PartKind, Measurand], dict[Place, float]] = defaultdict(dict)
    for part in outlook.parts:
        life = part.life
        if life.traces and life.traces[-1].date == last.date:
            used[life.place.part, life.measurand][life.place] = life.traces[-1].life_used
    return tuple(found for key, by_place in used.items() for found in _groups(*key, by_place, written_off))


def _groups(
    part: PartKind, measurand: Measurand, used: dict[Place, float], written_off: set[tuple[Place, Measurand]]
) -> Iterator[OneSided]:
    for side in (Side.LEFT, Side.RIGHT):
        others = [share for place, share in used.items() if place.side is not side]
        if len(others) < _FEWEST:
            continue
        mine = {place: share for place, share in used.items() if place.side is side}
        worse = sorted(place for place, share in mine.items() if share > max(others) + _APART)
        if sum((place, measurand) not in written_off for place in worse) >= _FEWEST:
            yield OneSided(part, measurand, side, tuple(worse))
