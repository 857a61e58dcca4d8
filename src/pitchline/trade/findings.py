"""What is seen and not measured, how bad it is, and the call it forces.

See docs/explanation/calls.md.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.trade.bolts import COUNTED as COUNTED
from pitchline.trade.bolts import PIECES, asks_on_one, border_of
from pitchline.trade.bolts import severity_of_bolts as severity_of_bolts
from pitchline.trade.calls import Call, Stake
from pitchline.trade.consequences import CONSEQUENCES as CONSEQUENCES
from pitchline.trade.consequences import FAMILIES
from pitchline.trade.consequences import FindingKind as FindingKind
from pitchline.trade.consequences import Severity as Severity
from pitchline.trade.consequences import asks_how_many as asks_how_many
from pitchline.trade.consequences import seen_on as seen_on
from pitchline.trade.consequences import why_it_matters as why_it_matters
from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.saying import AS_WRITTEN, Saying, saying, within

_LOOKED_INTO_FIRST = (PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.SLEW_RING)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing seen at one place.

    Parameters
    ----------
    place : Place
        Where.
    kind : FindingKind
        What.
    severity : Severity
        How bad.
    count : int
        How many (shoes, bolts, joints), from 1.
    note : str
        Free text as typed.
    on_one : bool or None
        Bolts of shoes or pads: whether two or more of them sit on one; None where nobody said.
    last_seen_on : date or None
        Of one carried over from an earlier walk-round: the day somebody last saw it; None where it was seen on this one.

    Raises
    ------
    NotAllowedError
        This kind of finding is not made on this part, the count is below 1, or something is said of one piece that has no pieces.

    References
    ----------
    Definition; what it leads to is common practice, no source.
    """

    place: Place
    kind: FindingKind
    severity: Severity
    count: int = 1
    note: str = ""
    on_one: bool | None = None
    last_seen_on: dt.date | None = None

    def __post_init__(self) -> None:
        if self.place.part not in CONSEQUENCES[self.kind].parts:
            parts = CONSEQUENCES[self.kind].parts
            allowed = phrase("{kind:finding} on {parts:parts_listed}", kind=self.kind, parts=parts)
            raise NotAllowedError("finding", self._on_its_place, allowed)
        if self.count < 1:
            raise NotAllowedError("finding count", self.count, "1 or more", "Count again.")
        if self.on_one is not None and not asks_on_one(self.kind, self.place.part):
            bolts = "said of missing or loose bolts of shoes and rubber pads alone"
            raise NotAllowedError("on one piece", self._on_its_place, bolts, "Leave it empty.")

    @property
    def _on_its_place(self) -> Phrase:
        return phrase("{kind:finding} on {place:place}", kind=self.kind, place=self.place.key)

    @property
    def call(self) -> Call:
        """The call this finding forces at least: by how bad it is said to be and, for bolts, by their number."""
        by_number = Call.STOP if self._past_border else Call.RUN
        if self.on_one is False:
            return max(Call.BOOK, by_number, key=lambda call: call.rank)
        said = CONSEQUENCES[self.kind].on(self.place.part).calls[list(Severity).index(self.severity)]
        return max(said, by_number, key=lambda call: call.rank)

    @property
    def _past_border(self) -> bool:
        if self.kind not in COUNTED:
            return False
        border = border_of(self.kind, self.place.part)
        missing_unsaid = self.on_one is None and self.kind is FindingKind.MISSING_BOLTS
        return self.count >= (border.on_one if self.on_one or missing_unsaid else border.spread)

    @property
    def stake(self) -> Stake | None:
        """What the call is about; None for run."""
        return self.stake_of(self.call)

    def stake_of(self, call: Call) -> Stake | None:
        """What a call is about that this finding is a reason for.

        Parameters
        ----------
        call : Call
            Its own, or a graver one where several findings add up.

        Returns
        -------
        Stake or None
            None for run.

        References
        ----------
        Common practice, no source.
        """
        if call is Call.STOP:
            return CONSEQUENCES[self.kind].on(self.place.part).stake
        return Stake.SEEN if call is Call.BOOK else None

    @property
    def job(self) -> JobKind:
        """The job this finding leads to."""
        consequence = CONSEQUENCES[self.kind]
        job = consequence.slight_job if self.severity is Severity.SLIGHT else consequence.job
        if job is JobKind.REPLACE and self.place.part in _LOOKED_INTO_FIRST:
            return JobKind.INVESTIGATE
        return job

    def told(self, all_there: int | None = None) -> Saying:
        """What was seen, such as "leak, severe" or "missing bolts (2 of 192, no two on one shoe)".

        Parameters
        ----------
        all_there : int or None
            Bolts of the place, from 1; None where nobody has counted them.
        """
        part = self.place.part
        if self.kind in COUNTED:
            where = None
            if self.on_one is not None:
                where = saying(f"seen.{'two' if self.on_one else 'no_two'}_on_one", part=part)
            code = "seen.bolts_of_all" if all_there else "seen.bolts"
            return saying(code, finding=self.kind, count=self.count, all_there=all_there, where=where)
        code = "seen.several" if self.count > 1 else "seen.one"
        return saying(code, finding=self.kind, severity=self.severity, count=self.count)

    @property
    def border(self) -> Saying | None:
        """From how many on it stops, such as "stop from 2 on one shoe or 4 on one side"; None where nothing is counted."""
        if self.kind not in COUNTED:
            return None
        border = border_of(self.kind, self.place.part)
        if border.spread == 1:
            return saying("seen.stop_from_first")
        if border.on_one == border.spread:
            return saying("seen.stop_from", many=border.on_one)
        code = "seen.stop_from_either_ask" if self.on_one is None and self.count > 1 else "seen.stop_from_either"
        return saying(code, on_one=border.on_one, spread=border.spread, part=self.place.part)


def tells_of(told: Saying, kind: FindingKind) -> bool:
    """Whether a finding of a kind is told."""
    return any(
        one.values.get("finding") == kind.value
        or (one.code == AS_WRITTEN and kind.value.replace("_", " ") in one.text)
        for one in within(told)
    )


def joined(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], ...]:
    """Findings of one part that point at the same failure, gathered.

    Returns
    -------
    tuple of tuple of Finding
        For each family of which two kinds or more were seen, all that belong to it, the gravest first. What is seen on shoes and
        pads belongs to it only where it is said to sit on one of them: a bent shoe and loose bolts elsewhere are not one failure.

    References
    ----------
    Common practice, no source.
    """
    seen = [one for one in findings if one.place.part not in PIECES or one.on_one]
    groups = []
    for family in FAMILIES:
        here = sorted((one for one in seen if one.kind in family), key=lambda one: family.index(one.kind))
        if len({one.kind for one in here}) > 1:
            groups.append(tuple(sorted(here, key=lambda one: -one.call.rank)))
    return tuple(groups)


def joint_call(findings: tuple[Finding, ...]) -> Call:
    """The call that findings of one family on one part force together.

    Parameters
    ----------
    findings : tuple of Finding
        Two kinds or more, as `joined` gathers them.

    Returns
    -------
    Call
        The gravest kind's, or one above the second gravest kind's if that is more: two that ask to be booked stop the machine,
        two that ask for nothing are booked.
    """
    gravest: dict[FindingKind, int] = {}
    for one in findings:
        gravest[one.kind] = max(gravest.get(one.kind, 0), one.call.rank)
    first, second = sorted(gravest.values(), reverse=True)[:2]
    rank = max(first, min(second + 1, Call.STOP.rank))
    return next(call for call in Call if call.rank == rank)
