"""Jobs taken along though nothing presses for them: the other side of a pair, and what waits for the next visit.

See docs/explanation/calls.md.
"""

from collections.abc import Sequence
from dataclasses import replace

from pitchline.stops.work import Work
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Side, how_many
from pitchline.trade.saying import Saying, saying, then

PAIRED = (PartKind.CHAIN, PartKind.SHOE, PartKind.PAD, PartKind.RUBBER_TRACK, PartKind.SPROCKET)
"""Parts renewed on both sides at once, because a machine with unlike sides pulls to one of them: common practice, no source."""
ALIKE = 0.6
"""Hours left of the shorter-lived side, as a share of the longer, from which the two go together: our own choice."""
LEAST_H = 500.0
"""Hours left closer to each other than this go together whatever their share [h]: our own choice."""
WORN, SPROCKET_WORN = 0.6, 0.5
"""Share of its life a part has to have used before it is renewed, or turned, only because a lay-up is made; of a sprocket, which
is changed at a turn of the bushes (common practice), less. Our own choice."""
TURN_LATE = 0.25
"""Share of the way from turn point to limit after which bushes are turned no more: our own choice."""
LITTLE_LEFT = 0.3
"""Share of life left below which shoes are not taken over to a new chain: our own choice."""
_PAIRS = {
    (JobKind.TURN, PartKind.BUSH): "along.unlike_pitch",
    (JobKind.REPLACE, PartKind.CHAIN): "along.unlike_pitch",
    (JobKind.REPLACE, PartKind.SPROCKET): "along.each_with_its_chain",
    (JobKind.REPLACE, PartKind.RUBBER_TRACK): "along.unlike_tracks",
    (JobKind.REPLACE, PartKind.PAD): "along.unlike_pads",
    (JobKind.REPLACE, PartKind.SHOE): "along.unlike_shoes",
    (JobKind.RESHOE, PartKind.SHOE): "along.unlike_shoes",
}
"""Why both sides at once: common practice, no source."""


def near(one_h: float, other_h: float) -> bool:
    """Whether two sides run out close enough to each other to go together.

    Parameters
    ----------
    one_h, other_h : float
        Their hours left [h], zero or more.

    Returns
    -------
    bool
        True within 500 h, or where the shorter has 60 % of the longer.

    Examples
    --------
    >>> near(0.0, 500.0), near(0.0, 501.0), near(3000.0, 5000.0), near(2000.0, 5000.0)
    (True, False, True, False)
    """
    short, long = sorted((one_h, other_h))
    return long - short <= LEAST_H or short >= ALIKE * long


def taken_along(work: Sequence[Work]) -> list[Work]:
    """The same work, with what is taken along marked, and the other side of a pair told.

    Parameters
    ----------
    work : sequence of Work
        What stands: each job once at each place.

    Returns
    -------
    list of Work
        No call, hour or chance is changed.

    References
    ----------
    Our own rule; see docs/explanation/calls.md. What goes in pairs: common practice, no source.
    """
    return [_told(item, work) for item in work]


def _told(item: Work, work: Sequence[Work]) -> Work:
    other = _other_side(item, work)
    if item.call.asks:
        return (
            item
            if other is None or other.call.asks
            else replace(item, because=then(item.because, _pair(other, item)))
        )
    if other is not None and other.call.asks and near(_hours(item), _hours(other)):
        return replace(item, along=saying("along.with_other_side", side=other.place.side, why=_reason(item)))
    visited = any(one.call.asks and one.place.side is item.place.side for one in work)
    if item.due is None and visited:
        where = "track" if item.place.side is not Side.NONE else "slew_ring"
        return replace(item, along=saying(f"along.since_{where}", side=item.place.side))
    return item


def _other_side(item: Work, work: Sequence[Work]) -> Work | None:
    """The same job on the other side, where the trade does both at once; a few shoes or pads are no pair."""
    part = item.place.part
    few = item.part_row is None and part in (PartKind.SHOE, PartKind.PAD)
    if few or (item.job, part) not in _PAIRS:
        return None
    for one in work:
        same = one.job is item.job and one.place.part is part and one.place.side is not item.place.side
        if same and one.due is not None:
            return one
    return None


def _pair(other: Work, item: Work) -> Saying:
    part, other_h = other.place.part, _hours(other)
    code = "along.pair_due" if near(_hours(item), other_h) else "along.pair_far_apart"
    return saying(code, n=how_many(part), part=part, side=other.place.side, due_h=other_h, why=_reason(item))


def _reason(item: Work) -> Saying:
    return saying(_PAIRS[item.job, item.place.part])


def _hours(item: Work) -> float:
    return item.due.middle if item.due is not None else 0.0
