"""From a verdict to the sizes that shapes are drawn from."""

from pitchline.shape.sizes import Known
from pitchline.trade.parts import Side
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


def soonest(part: PartVerdict) -> Judged | None:
    """The quantity of a part that falls due first; else the first one read; None where nothing was."""
    due = [judged for judged in part.judged if judged.to_limit is not None and judged.believed_m is not None]
    if due:
        return min(due, key=lambda judged: min(left.middle for left in (judged.to_limit, judged.to_turn) if left))
    return next((judged for judged in part.judged if judged.believed_m is not None), None)
