"""Left and right together: chains, bushes, shoes, pads, rubber tracks and sprockets are renewed in pairs."""

from collections.abc import Mapping

from pitchline.judge.bridged import Done
from pitchline.judge.draft import Draft
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.along import PAIRED, near
from pitchline.stops.instance import Component, Rule, RuleKind
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side


def pair_sides(draft: Draft, outlook: MachineOutlook, called: Mapping[Place, Work]) -> tuple[PartKind, ...]:
    """Tie the two sides of a draft together where the trade would.

    Parameters
    ----------
    draft : Draft
        What is planned; rules are added.
    outlook : MachineOutlook
        Hours left of each part.
    called : mapping of Place to Work
        What the verdict calls stop or book.

    Returns
    -------
    tuple of PartKind
        Parts whose sides are planned apart, because their hours left lie too far apart or one side cannot wait.

    References
    ----------
    Common practice, no source; see docs/explanation/plan-of-a-machine.md.
    """
    by_name = {part.name: part for part in draft.components}
    apart = []
    for kind in PAIRED:
        left, right = (_names(draft, kind, side) for side in (Side.LEFT, Side.RIGHT))
        if not left or not right:
            continue
        if not _together(draft, outlook, left[0], right[0], called):
            apart.append(kind)
            continue
        for one, other in zip(left, right, strict=False):
            draft.rules += _tied(by_name[one], by_name[other])
    return tuple(apart)


def _names(draft: Draft, kind: PartKind, side: Side) -> list[str]:
    """Parts of a draft behind one side's chain, shoes, track or sprocket; links before bushes."""
    kinds = (PartKind.LINK, PartKind.BUSH) if kind is PartKind.CHAIN else (kind,)
    return [name for one in kinds if (name := Place(one, side).key) in draft.members]


def _together(draft: Draft, outlook: MachineOutlook, left: str, right: str, called: Mapping[Place, Work]) -> bool:
    """Whether both sides may go together: of like wear, and neither bound to go now, or by another job, without the other."""
    calls = [{done.place: called.get(done.place) for done in _jobs(draft, name)} for name in (left, right)]
    items = [next((item for item in mine.values() if item is not None), None) for mine in calls]
    if len({item is not None and item.call is Call.STOP for item in items}) > 1:
        return False
    if all(items) and len({item.job is JobKind.TURN for item in items if item is not None}) > 1:
        return False
    hours = [min(outlook.parts[at].to_limit.middle for at in draft.members[name]) for name in (left, right)]
    return near(hours[0], hours[1])


def _jobs(draft: Draft, name: str) -> list[Done]:
    """What may be done to a part; of links, to their bushes too, which are turned where they are and renewed with them."""
    names = {name, name.replace("link/", "bush/")}
    return [done for (part, _), done in draft.done.items() if part in names and done is not None]


def _tied(one: Component, other: Component) -> list[Rule]:
    """Their jobs of one name at the same time; turns only where both sides have the same face to turn from."""
    shapes = [[(job.name, job.from_stage, job.to_stage) for job in part.jobs] for part in (one, other)]
    names = dict.fromkeys(job.name for job in one.jobs if any(job.name == twin.name for twin in other.jobs))
    return [
        Rule(RuleKind.SAME_TIME, (one.name, name), (other.name, name))
        for name in names
        if name != JobKind.TURN.value or shapes[0] == shapes[1]
    ]


def together(draft: Draft) -> dict[tuple[str, str, int], int]:
    """First steps of jobs that are tied together: of both sides, and of a chain and what is renewed with it, the sooner.

    Parameters
    ----------
    draft : Draft
        What is planned, its rules included.

    Returns
    -------
    dict of (str, str, int) to int
        By part, job and stage, as in `Bridged`.
    """
    found = dict(draft.not_before)
    for rule in sorted(draft.rules, key=lambda rule: rule.kind is RuleKind.A_NEEDS_B):
        ends = [(rule.b, rule.a)] if rule.kind is RuleKind.A_NEEDS_B else [(rule.a, rule.b), (rule.b, rule.a)]
        for end, other in ends:
            for part, job, stage in draft.not_before:
                sooner = [
                    step for one, step in found.items() if one[:2] == other and (one[2] == stage or stage == 0)
                ]
                if (part, job) == end and sooner:
                    found[part, job, stage] = min(found[part, job, stage], *sooner)
    return found
