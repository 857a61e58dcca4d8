"""How worn a running gear is, told for whoever buys it: a line for each kind of part and side, in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.judge.called import counted_due, either_way
from pitchline.papers import names, words
from pitchline.papers.rows import part_rows
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Judged, PartVerdict, Verdict
from pitchline.words import translated, worded
from pitchline.words.called import part_called
from pitchline.words.labels import plural, quantity, singular

_READ = ("judged", "no limit entered", "held back")


@dataclass(frozen=True, slots=True)
class Worn:
    """One kind of part on one side.

    Parameters
    ----------
    call : Call
        The worst call on one of them.
    called : str
        The same in few words, with what it is about.
    which : str
        The numbers of those with that call, where not all have it and it asks for work or some have none.
    used : str
        How much of the wear allowance is used, from least to most, such as "41 to 62 %"; empty where that is not known.
    share : float or None
        The most of it [1].
    left : str
        Hours to the first job on one of them, or why there are none.
    measured : str
        The size of the worst as it was measured, with its new size and its limit; empty where nothing was measured.
    lacking : str
        How many of them nobody looked at or measured; empty where that is none.
    """

    call: Call
    called: str
    which: str
    used: str
    share: float | None
    left: str
    measured: str
    lacking: str


@dataclass(frozen=True, slots=True)
class WornRow:
    """One kind of part on both sides; a part there is one of stands on the left."""

    part: PartKind
    left: Worn | None
    right: Worn | None

    def name(self, verdict: Verdict) -> str:
        """The kind of part; in the singular where the machine has one."""
        one = sum(part.place.part is self.part for part in verdict.parts) == 1
        return words.first_up(singular(self.part) if one else plural(self.part))


def worn_rows(verdict: Verdict, units: UnitSystem) -> tuple[WornRow, ...]:
    """How worn each kind of part is, left and right, in walking order.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    units : UnitSystem
        Metric or imperial.
    """
    kept: dict[PartKind, tuple[list[PartVerdict], list[PartVerdict]]] = {}
    for row in part_rows(verdict):
        sides = kept.setdefault(row.part, ([], []))
        for side, found in zip(sides, (row.left, row.right), strict=True):
            side += [found] if found is not None else []
    return tuple(
        WornRow(part, *(_worn(side, verdict, units) if side else None for side in sides))
        for part, sides in kept.items()
    )


def _worn(parts: Sequence[PartVerdict], verdict: Verdict, units: UnitSystem) -> Worn:
    graven = max(parts, key=lambda part: (part.call.rank, -_soonest(part)))
    read = [
        (used, part, judged) for part in parts for judged in part.judged if (used := _used(judged)) is not None
    ]
    most = max(read, key=lambda one: one[0], default=None)
    by_part = [
        max(used for used, of, _ in read if of is part) for part in parts if any(of is part for _, of, _ in read)
    ]
    return Worn(
        graven.call,
        part_called(graven, brief=True),
        _which(parts, graven.call),
        _from_to(by_part),
        most[0] if most else None,
        _left(parts),
        _measured(most[1].place, most[2], len(parts), units) if most else _unlimited(parts, units),
        _lacking(parts),
    )


def _which(parts: Sequence[PartVerdict], call: Call) -> str:
    of_it = [part.place.position for part in parts if part.call is call]
    told = call.asks or any(part.call is Call.UNJUDGED for part in parts)
    return _no(names.numbers_said(of_it)) if told and len(of_it) < len(parts) else ""


def _no(numbers: int | str) -> str:
    return worded("no. {numbers}", numbers=numbers).replace(" ", words.GAP, 1)


def _soonest(part: PartVerdict) -> float:
    due = counted_due(part)
    return due.middle if due is not None else float("inf")


def _used(judged: Judged) -> float | None:
    """Life used of a quantity that was read and counts."""
    return judged.life_used if judged.status == "judged" and judged.reading is not None else None


def _from_to(shares: Sequence[float]) -> str:
    if not shares:
        return ""
    low, high = (words.percent(share) for share in (min(shares), max(shares)))
    return high if low == high else words.between(low.removesuffix("%").rstrip(), high)


def _left(parts: Sequence[PartVerdict]) -> str:
    """Hours to the first job on one of them; the turn of bushes is named, as their limit comes later."""
    first = min(parts, key=_soonest)
    if any(part.call is Call.STOP for part in parts):
        return translated("now")
    unclear = next((both for part in parts if part.call.asks and (both := either_way(part)) is not None), None)
    if unclear is not None:
        return names.either_said(unclear, brief=True)
    due = counted_due(first)
    if due is None:
        return ""
    told = words.hours(due.middle)
    if words.is_now(due.middle):
        return told
    turns = first.job is JobKind.TURN
    return worded("{hours} to its turn", hours=told) if turns else worded("{hours} left", hours=told)


def _measured(place: Place, judged: Judged, many: int, units: UnitSystem) -> str:
    number = f"{_no(place.position)}, " if place.position and many > 1 else ""
    sizes = [worded("new {size}", size=words.length(judged.new_m, units))] if judged.new_m else []
    sizes += [worded("limit {size}", size=words.length(judged.limit_m, units))] if judged.limit_m else []
    size = words.length(judged.value_m or 0.0, units)
    return f"{number}{quantity(judged.measurand)} {size}" + (f" ({', '.join(sizes)})" if sizes else "")


def _unlimited(parts: Sequence[PartVerdict], units: UnitSystem) -> str:
    """What was measured and says nothing of wear, because nobody entered a limit."""
    found = [
        (part.place, judged) for part in parts for judged in part.judged if judged.status == "no limit entered"
    ]
    return _measured(*found[0], len(parts), units) if found and found[0][1].value_m is not None else ""


def _lacking(parts: Sequence[PartVerdict]) -> str:
    """Nobody looked, nobody measured, a reading waits, or the limit is assumed: the gravest first, of how many."""
    passed = sum(not part.looked_at for part in parts)
    held = sum(any(judged.status == "held back" for judged in part.judged) for part in parts)
    bare = sum(part.looked_at and not any(judged.reading is not None for judged in part.judged) for part in parts)
    measurable = any(part.judged for part in parts)
    told = []
    assumed = sum(part.assumed_limit for part in parts)
    for count, all_of_them, some in (
        (passed, translated("not looked at"), translated("{n} of {of} not looked at")),
        (bare if measurable else 0, translated("not measured"), translated("{n} of {of} not measured")),
        (held, translated("measured unclear"), translated("{n} of {of} measured unclear")),
        (assumed, translated("by an assumed limit"), translated("{n} of {of} by an assumed limit")),
    ):
        if count:
            told.append(all_of_them if count == len(parts) else some.format(n=count, of=len(parts)))
    if not measurable and passed < len(parts):
        told.append(translated("by eye only"))
    return ", ".join(told)
