"""Flanges guide the track together: one worn out is booked, most of a side are a track that runs off."""

from dataclasses import replace

from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.saying import saying, then


def with_guiding(work: list[Work], outlook: MachineOutlook, rollers_per_side: int) -> list[Work]:
    """The same work, with a stop where most bottom rollers of a side no longer guide the track.

    Parameters
    ----------
    work : list of Work
        What the wear of each part asks for.
    outlook : MachineOutlook
        Says which quantity each item is about.
    rollers_per_side : int
        Bottom rollers on one side, 0 or more.

    Returns
    -------
    list of Work
        In the same order. Each is unsafe where more than half of the rollers of its side are worn out at their flanges; by an
        assumed limit only where they are past the most generous one.

    References
    ----------
    Our own rule; that worn flanges let a track run off is common practice, no source.
    """
    found = list(work)
    for side in Side:
        worn = [row for row, item in enumerate(work) if item.place.side is side and _flange_gone(item, outlook)]
        if 2 * len(worn) <= rollers_per_side:
            continue
        sure = [row for row in worn if _is_sure(work[row], outlook)]
        if 2 * len(sure) <= rollers_per_side:  # by a rule of thumb nothing is stopped
            first = saying("assumed.confirm_first")
            for row in set(worn) - set(sure):
                found[row] = replace(found[row], stake=Stake.CONFIRM, because=then(found[row].because, first))
            continue
        because = saying("wear.flanges_gone", worn=len(sure), of=rollers_per_side)
        for row in sure:
            found[row] = replace(found[row], call=Call.STOP, stake=Stake.UNSAFE, because=because)
    return found


def _is_sure(item: Work, outlook: MachineOutlook) -> bool:
    """Whether a flange is past the most generous limit there can be."""
    part = outlook.parts[item.part_row or 0]
    limit = part.life.line.limit
    return not limit.assumed or part.life_used >= limit.generous


def _flange_gone(item: Work, outlook: MachineOutlook) -> bool:
    if (
        item.part_row is None
        or item.stake is not Stake.WORN_OUT
        or item.asked_by.part is not PartKind.BOTTOM_ROLLER
    ):
        return False
    return outlook.parts[item.part_row].life.measurand is Measurand.FLANGE_THICKNESS
