"""Details of a side elevation: worn parts large, soonest due first; on the elevation itself a loss is a hair's breadth."""

from dataclasses import replace
from functools import partial

from pitchline.judge.called import counted_due
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, tone_of
from pitchline.picture.letters import shortened, wrapped
from pitchline.picture.part_words import GAP, length_said, part_name, sided
from pitchline.picture.sections import States, states_of
from pitchline.picture.verdict_sizes import soonest
from pitchline.picture.worn import draw_key, draw_section, needed_tall
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Judged, PartVerdict
from pitchline.words import worded
from pitchline.words.called import limit_called
from pitchline.words.labels import quantity

_LEAST, _GAP, _TALL = 155.0, 18.0, 104.0
_MOST_ACROSS, _MOST_NARROW = 7, 4
_SEEN = 0.22
"""Loss to the limit should come to this share of a detail: more than on a part drawing, as it is smaller."""
_Chosen = tuple[PartVerdict, Judged, States]


def draw_details(
    board: Board, gear: RunningGear, parts: dict[Place, PartVerdict], edge: float, top: float, units: UnitSystem
) -> float:
    """Draw the details in a row, or on narrow paper in two.

    Parameters
    ----------
    board : Board
        Where to.
    gear : RunningGear
        The running gear.
    parts : dict of Place to PartVerdict
        Calls of one side.
    edge, top : float
        Margin at either side, and where the row begins [CSS pixels].
    units : UnitSystem
        Metric or imperial.

    Returns
    -------
    float
        Where it ends [CSS pixels].
    """
    room = board.width - 2 * edge
    across = min(max(int((room + _GAP) // (_LEAST + _GAP)), 2), _MOST_ACROSS)
    chosen = _chosen(gear, parts)[: across if across > 2 else _MOST_NARROW]
    if not chosen:
        return top
    across = min(across, len(chosen))
    wide = min((room - (across - 1) * _GAP) / across, 1.5 * _LEAST)
    y = top
    for first in range(0, len(chosen), across):
        row = chosen[first : first + across]
        tall = max(needed_tall(states, wide, _TALL, partial(length_said, units=units)) for _, _, states in row)
        ends = [
            _detail(board, gear, one, (edge + number * (wide + _GAP), y, wide, tall), units)
            for number, one in enumerate(row)
        ]
        y = max(ends) + 12
    return draw_key(board, edge, y, chosen[0][2])


def _chosen(gear: RunningGear, parts: dict[Place, PartVerdict]) -> list[_Chosen]:
    """One part of each kind that has a new size and a reading, most pressing first; a chain's growth is told in words."""
    found: dict[PartKind, _Chosen] = {}
    for part in sorted(parts.values(), key=_urgency):
        if part.place.part is PartKind.CHAIN or part.place.part in found:
            continue
        judged, states = soonest(part), states_of(part, gear, seen=_SEEN)
        if judged is not None and states is not None:
            found[part.place.part] = (part, judged, replace(states, dims=()))
    return list(found.values())


def _urgency(part: PartVerdict) -> tuple[int, float]:
    due = counted_due(part)
    return -part.call.rank, due.middle if due is not None else 1e9


def _detail(
    board: Board, gear: RunningGear, one: _Chosen, place: tuple[float, float, float, float], units: UnitSystem
) -> float:
    """One part: name, section, size today, new and limit, and how many times as large the loss is. Returns where it ends."""
    part, judged, states = one
    left, top, wide, tall = place
    name = part_name(part.place, gear)
    key = part.place.key.replace("/", "-").replace("_", "-")
    with board.group(f"detail-{key}", worded("Detail: {name}", name=sided(name, part.place.side))):
        board.line(left, top, left + wide, top, "hair")
        board.swatch(left, top + 19, part.call)
        board.text(left + 17, top + 18, shortened(name, SMALL_PX, wide - 17), f"s {tone_of(part.call)}".strip())
        draw_section(board, states, (left, top + 24, wide, tall), partial(length_said, units=units))
        y = top + 24 + tall + TEXT_PX
        for said, kind in ((quantity(judged.measurand), "s"), (_figures(judged, states, units), "s g")):
            for line in wrapped(said, SMALL_PX, wide):
                board.text(left, y, line, kind)
                y += 15
    return y


def _figures(judged: Judged, states: States, units: UnitSystem) -> str:
    limit = f"{limit_called(judged)} {length_said(judged.limit_m, units)}" if judged.limit_m is not None else ""
    sizes = [
        length_said(judged.believed_m, units) if judged.believed_m is not None else "",
        worded("new {new}", new=length_said(judged.new_m, units)) if judged.new_m is not None else "",
        limit,
    ]
    said = ", ".join(size.replace(" ", GAP) for size in sizes if size)
    return (
        worded("{said}; loss{gap}drawn{gap}×{times}", said=said, gap=GAP, times=states.times)
        if states.times > 1
        else said
    )
