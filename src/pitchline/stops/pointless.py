"""What a bigger job at the same place or on the same side makes pointless.

See docs/explanation/calls.md.
"""

from dataclasses import replace

from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.parts import PartKind, Place, how_many
from pitchline.trade.saying import Saying, saying, then

_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
_WORN_OUT = 0.5
"""Chance of being past the limit now from which nobody looks into a chain any more: our own choice."""
_COUNTED = (PartKind.SHOE, PartKind.PAD)
"""Parts of which a finding renews a few, and wear the whole side."""
_LESSER = (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.REFIT_BOLTS)


def without_pointless(work: list[Work]) -> list[Work]:
    """The same work less what a bigger job on the same side makes pointless.

    Returns
    -------
    list of Work
        The most urgent first, nothing twice at one place. No turn where the chain is due first or asked for; nothing looked
        into, bolted up or adjusted on what is renewed at least as urgently. A look for a cause that outlives the part stays, as
        urgent as the new part it comes before. A stop that ends something unsafe is unsafe itself, and says why.
    """
    once = _once(_chains_taking_over(work))
    bigger = [(item, swallowed_by(item, once)) for item in once]
    return [
        _with_what_it_ends(item, [lesser for lesser, by in bigger if by is item], once)
        for item, by in bigger
        if by is None
    ]


def _with_what_it_ends(item: Work, ended: list[Work], work: list[Work]) -> Work:
    """A stop that ends something graver carries its stake and reason; a cause that outlives the part is looked for before."""
    renewing = [other for other in work if other.call.asks and _renewed(other, item)]
    if item.outlives and renewing:
        worst = min((item, *renewing), key=lambda one: -one.call.rank)
        because = then(item.because, saying("bigger.look_before_new"))
        return replace(item, call=worst.call, stake=worst.stake, because=because)
    grave = [lesser for lesser in ended if lesser.call is Call.STOP is item.call and lesser.stake is Stake.UNSAFE]
    if not grave or item.stake is Stake.UNSAFE:
        return item
    told = dict.fromkeys((*(lesser.because for lesser in grave), item.because))
    return replace(item, stake=Stake.UNSAFE, because=then(*told))


def _renewed(bigger: Work, item: Work) -> bool:
    return bigger.job in RENEWS and bigger.place == item.place


def swallowed_by(item: Work, work: list[Work]) -> Work | None:
    """The bigger job that makes one pointless.

    Returns
    -------
    Work or None
        None where it stands.
    """
    return next((other for other in sorted(work, key=urgency) if _makes_pointless(other, item)), None)


def _makes_pointless(bigger: Work, item: Work) -> bool:
    if bigger is item:
        return False
    if item.job is JobKind.TURN:
        return _new_chain(bigger) and _same_side(bigger, item) and _before_the_turn(bigger, item)
    if not bigger.call.asks or bigger.call.rank < item.call.rank or item.outlives:
        return False
    if item.job is JobKind.ADJUST:
        return _sets_the_sag(bigger) and _same_side(bigger, item)
    if item.job is JobKind.REMOVE_JOINT:
        return (_new_chain(bigger) or bigger.job is JobKind.TURN) and _same_side(bigger, item)
    return item.job in _LESSER and _comes_new(bigger, item)


def _new_chain(item: Work) -> bool:
    return item.job is JobKind.REPLACE and item.place.part is PartKind.CHAIN


def _same_side(bigger: Work, item: Work) -> bool:
    return bigger.place.side is item.place.side


def _before_the_turn(chain: Work, turn: Work) -> bool:
    """A turn gives nothing on a chain that is renewed within the booking window, or before the turn is due."""
    if chain.call.asks and chain.call.rank >= turn.call.rank:
        return True
    return urgency(chain) <= urgency(turn)


def _sets_the_sag(item: Work) -> bool:
    """Jobs at whose end the sag is set anyway."""
    renewed = item.job is JobKind.REPLACE and item.place.part in (PartKind.CHAIN, PartKind.RUBBER_TRACK)
    return renewed or item.job in (JobKind.TURN, JobKind.REMOVE_JOINT)


def _comes_new(bigger: Work, item: Work) -> bool:
    """Whether what is looked into or bolted up comes new with a bigger job: the part itself, a chain's joints, its shoe bolts."""
    if bigger.job not in RENEWS:
        return False
    if bigger.place == item.place:
        return item.place.part not in _COUNTED or bigger.part_row is not None
    if not (_new_chain(bigger) and _same_side(bigger, item)):
        return False
    if item.job is JobKind.REFIT_BOLTS:
        return item.place.part is PartKind.SHOE
    return item.place.part in _CHAIN


def _chains_taking_over(work: list[Work]) -> list[Work]:
    """A worn out chain takes over the call of a graver look into it: nobody looks into it, it is renewed that soon."""
    taken = list(work)
    for number, chain in enumerate(work):
        if not (_new_chain(chain) and chain.call.asks and chain.due and chain.due.chance_now >= _WORN_OUT):
            continue
        looks = [
            item
            for item in work
            if item.job is JobKind.INVESTIGATE
            and item.part_row is None
            and _graver(item, chain)
            and item.place.part in _CHAIN
            and _same_side(chain, item)
        ]
        if looks:
            worst = min(looks, key=urgency)
            because = then(chain.because, worst.because, saying("bigger.not_looked_into"))
            taken[number] = replace(chain, call=worst.call, stake=worst.stake, because=because)
    return taken


def _graver(item: Work, other: Work) -> bool:
    """Whether it has the harder call, or the same one for what can hurt somebody."""
    unsafe = item.stake is Stake.UNSAFE and other.stake is not Stake.UNSAFE
    return item.call.rank > other.call.rank or (item.call is other.call and unsafe)


def _once(work: list[Work]) -> list[Work]:
    kept: dict[tuple[JobKind, Place], Work] = {}
    for item in sorted(work, key=urgency):
        key = (item.job, item.place)
        if key not in kept:
            kept[key] = item
        elif item.job is JobKind.REFIT_BOLTS or (item.part_row is None and kept[key].part_row is None):
            kept[key] = replace(kept[key], pieces=max(kept[key].pieces, item.pieces))
    return list(kept.values())


def urgency(item: Work) -> tuple[int, float]:
    """What comes first: small for the more urgent.

    Returns
    -------
    tuple of (int, float)
        By call, then by middle hours [h].
    """
    return (-item.call.rank, item.due.middle if item.due is not None else 0.0)


def with_it(item: Work, bigger: Work) -> Saying:
    """What is said on a part whose own job goes into a bigger one."""
    if item.job is JobKind.TURN:
        return saying("bigger.bushes_come_with_chain")
    if bigger.job is JobKind.TURN:
        return saying("bigger.sag_set_after_turn")
    if item.job is JobKind.ADJUST:
        out = bigger.job is JobKind.REMOVE_JOINT
        return saying(f"bigger.sag_set_after_{'joint_out' if out else 'new'}", part=bigger.place.part)
    done = "rebuilt" if bigger.job is JobKind.REBUILD else "new"
    return saying(f"bigger.goes_with_{done}", part=bigger.place.part, n=how_many(bigger.place.part))
