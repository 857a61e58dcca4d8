"""What is seen and not measured, how bad it is, and what it leads to."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind, Place


class FindingKind(StrEnum):
    """A thing seen on a part."""

    LEAK = "leak"
    SEIZED = "seized"
    FLAT = "flat"
    CRACKED = "cracked"
    BENT = "bent"
    MISSING_BOLTS = "missing_bolts"
    LOOSE_BOLTS = "loose_bolts"
    CORD_SHOWING = "cord_showing"
    SEPARATION = "separation"
    UNEVEN_TREAD = "uneven_tread"
    PACKED_WITH_SOIL = "packed_with_soil"
    PIN_WALKING_OUT = "pin_walking_out"
    DRY_JOINT = "dry_joint"

    @property
    def label(self) -> str:
        """Name for reading."""
        return self.value.replace("_", " ")


class Severity(StrEnum):
    """How bad a finding is, in words."""

    SLIGHT = "slight"
    MARKED = "marked"
    SEVERE = "severe"


@dataclass(frozen=True, slots=True)
class Consequence:
    """What one kind of finding leads to.

    Parameters
    ----------
    parts : tuple of PartKind
        Parts it can be seen on.
    calls : tuple of Call
        The call for slight, marked and severe.
    job : JobKind
        The job when marked or severe.
    slight_job : JobKind
        The job when slight.
    because : str
        Why it matters, in one clause.

    References
    ----------
    Common practice, no source.
    """

    parts: tuple[PartKind, ...]
    calls: tuple[Call, Call, Call]
    job: JobKind
    slight_job: JobKind
    because: str


_ROLLERS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)
_BOLTED = (
    PartKind.SHOE,
    PartKind.PAD,
    PartKind.SPROCKET,
    *_ROLLERS,
    PartKind.IDLER,
    PartKind.GUARD,
    PartKind.FINAL_DRIVE,
    PartKind.SLEW_RING,
    PartKind.TRACK_ADJUSTER,
)
_RUN, _BOOK, _STOP = Call.RUN, Call.BOOK, Call.STOP

CONSEQUENCES: dict[FindingKind, Consequence] = {
    FindingKind.LEAK: Consequence(
        (*_ROLLERS, PartKind.IDLER, PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.SLEW_RING),
        (_RUN, _BOOK, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "a part that loses its oil runs hot and seizes",
    ),
    FindingKind.SEIZED: Consequence(
        (*_ROLLERS, PartKind.IDLER),
        (_BOOK, _BOOK, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "a wheel that does not turn is worn flat and wears the chain",
    ),
    FindingKind.FLAT: Consequence(
        _ROLLERS,
        (_RUN, _BOOK, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "a flat says the roller has stood still, and it hammers the chain",
    ),
    FindingKind.CRACKED: Consequence(
        (
            PartKind.CHAIN,
            PartKind.LINK,
            PartKind.BUSH,
            PartKind.SHOE,
            PartKind.RUBBER_TRACK,
            *_ROLLERS,
            PartKind.IDLER,
            PartKind.SPROCKET,
            PartKind.TRACK_ADJUSTER,
            PartKind.GUARD,
            PartKind.FINAL_DRIVE,
            PartKind.SLEW_RING,
        ),
        (_BOOK, _STOP, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "a crack grows under load and the part can break without notice",
    ),
    FindingKind.BENT: Consequence(
        (PartKind.SHOE, PartKind.LINK, PartKind.GUARD, PartKind.PAD),
        (_RUN, _BOOK, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "bent metal loads its bolts and neighbours unevenly",
    ),
    FindingKind.MISSING_BOLTS: Consequence(
        _BOLTED,
        (_BOOK, _STOP, _STOP),
        JobKind.REFIT_BOLTS,
        JobKind.REFIT_BOLTS,
        "the bolts left carry the load of those that are gone",
    ),
    FindingKind.LOOSE_BOLTS: Consequence(
        _BOLTED,
        (_BOOK, _BOOK, _STOP),
        JobKind.REFIT_BOLTS,
        JobKind.REFIT_BOLTS,
        "a loose part works its holes and damages both faces",
    ),
    FindingKind.CORD_SHOWING: Consequence(
        (PartKind.RUBBER_TRACK,),
        (_BOOK, _STOP, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "once water reaches the cord the track can part without notice",
    ),
    FindingKind.SEPARATION: Consequence(
        (PartKind.RUBBER_TRACK, PartKind.PAD),
        (_BOOK, _STOP, _STOP),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
        "rubber that has left its steel comes off in use",
    ),
    FindingKind.UNEVEN_TREAD: Consequence(
        (*_ROLLERS, PartKind.IDLER, PartKind.RUBBER_TRACK, PartKind.PAD),
        (_RUN, _BOOK, _BOOK),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
        "one-sided wear has a cause, most often alignment, that will wear the new part too",
    ),
    FindingKind.PACKED_WITH_SOIL: Consequence(
        (PartKind.CHAIN, PartKind.RUBBER_TRACK, PartKind.SPROCKET, *_ROLLERS, PartKind.IDLER),
        (_RUN, _RUN, _BOOK),
        JobKind.CLEAN_OUT,
        JobKind.CLEAN_OUT,
        "packed soil tightens the track and grinds everything that turns",
    ),
    FindingKind.PIN_WALKING_OUT: Consequence(
        (PartKind.CHAIN,),
        (_BOOK, _STOP, _STOP),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
        "a pin that leaves its link opens the track",
    ),
    FindingKind.DRY_JOINT: Consequence(
        (PartKind.CHAIN,),
        (_BOOK, _BOOK, _STOP),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
        "a joint without oil wears its pin and bush from inside and stretches the chain",
    ),
}

COUNTED = (FindingKind.MISSING_BOLTS, FindingKind.LOOSE_BOLTS)
"""Findings told by their number first."""
FEW_BOLTS = 3


def severity_of_bolts(count: int) -> Severity:
    """How bad so many missing or loose bolts of one part are taken to be, where nobody says otherwise.

    Parameters
    ----------
    count : int
        How many, from 1.

    Returns
    -------
    Severity
        One is slight, two or three are marked, more are severe.

    References
    ----------
    Our own judgement, on the careful side; no source.

    Examples
    --------
    >>> [severity_of_bolts(count).value for count in (1, 2, 4)]
    ['slight', 'marked', 'severe']
    """
    if count == 1:
        return Severity.SLIGHT
    return Severity.MARKED if count <= FEW_BOLTS else Severity.SEVERE


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

    Raises
    ------
    NotAllowedError
        This kind of finding is not made on this part, or the count is below 1.

    References
    ----------
    Definition; what it leads to is common practice, no source.
    """

    place: Place
    kind: FindingKind
    severity: Severity
    count: int = 1
    note: str = ""

    def __post_init__(self) -> None:
        if self.place.part not in CONSEQUENCES[self.kind].parts:
            allowed = ", ".join(PARTS[part].plural for part in CONSEQUENCES[self.kind].parts)
            raise NotAllowedError(
                "finding", f"{self.kind.label} on {self.place.label}", f"{self.kind.label} on {allowed}"
            )
        if self.count < 1:
            raise NotAllowedError("finding count", self.count, "1 or more", "Count again.")

    @property
    def call(self) -> Call:
        """The call this finding forces at least."""
        return CONSEQUENCES[self.kind].calls[list(Severity).index(self.severity)]

    @property
    def job(self) -> JobKind:
        """The job this finding leads to."""
        consequence = CONSEQUENCES[self.kind]
        job = consequence.slight_job if self.severity is Severity.SLIGHT else consequence.job
        if job is JobKind.REPLACE and self.place.part in _LOOKED_INTO_FIRST:
            return JobKind.INVESTIGATE
        return job

    @property
    def words(self) -> str:
        """The finding in words, such as "severe leak"."""
        if self.kind in COUNTED:
            return f"{self.kind.label} ({self.count})"
        many = f" ({self.count})" if self.count > 1 else ""
        return f"{self.kind.label}, {self.severity.value}{many}"
