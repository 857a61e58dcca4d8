"""From a verdict to the sizes that shapes are drawn from."""

from functools import lru_cache

from pitchline.shape.gear import Laid, lay_out
from pitchline.shape.sizes import Known
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place, Side
from pitchline.verdict import Judged, PartVerdict, Verdict


def sizes_known(verdict: Verdict, side: Side) -> tuple[Known, Known]:
    """Sizes of one side as read now, and as entered for new; what is held back is left out."""
    now, new = {}, {}
    for part in verdict.parts:
        for judged in part.judged:
            if part.place.side is side and judged.believed_m is not None:
                now[part.place, judged.measurand] = judged.believed_m
            if part.place.side is side and judged.new_m is not None:
                new[part.place, judged.measurand] = judged.new_m
    return now, new


def laid_of(verdict: Verdict, side: Side) -> Laid:
    """One side's running gear as it stands on the day of the verdict."""
    now, new = sizes_known(verdict, side)
    return _laid(verdict.gear, side, tuple(now.items()), tuple(new.items()))


_Items = tuple[tuple[tuple[Place, Measurand], float], ...]


@lru_cache(maxsize=8)  # the same side is drawn for a wide page and for a narrow one, one after the other
def _laid(gear: RunningGear, side: Side, now: _Items, new: _Items) -> Laid:
    return lay_out(gear, side, dict(now), dict(new))


def soonest(part: PartVerdict) -> Judged | None:
    """The quantity of a part that falls due first; else the first one read; None where nothing was."""
    due = [judged for judged in part.judged if judged.to_limit is not None and judged.believed_m is not None]
    if due:
        return min(due, key=lambda judged: min(left.middle for left in (judged.to_limit, judged.to_turn) if left))
    return next((judged for judged in part.judged if judged.believed_m is not None), None)
