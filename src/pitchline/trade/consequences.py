"""The kinds of things seen on a part, how bad they can be, and what each leads to."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType, RunningGear
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import Saying, saying


class FindingKind(StrEnum):
    """A thing seen on a part."""

    LEAK = "leak"
    SEIZED = "seized"
    FLAT = "flat"
    SHAFT_PLAY = "shaft_play"
    CRACKED = "cracked"
    BENT = "bent"
    MISSING_BOLTS = "missing_bolts"
    LOOSE_BOLTS = "loose_bolts"
    BOLT_HOLES_ELONGATED = "bolt_holes_elongated"
    CORD_SHOWING = "cord_showing"
    SEPARATION = "separation"
    CUT = "cut"
    TORN_GUIDE_LUG = "torn_guide_lug"
    LUG_TORN_OFF = "lug_torn_off"
    STEEL_INSERT_LOST_OR_BROKEN = "steel_insert_lost_or_broken"
    PAD_TORN_OR_MISSING = "pad_torn_or_missing"
    UNEVEN_TREAD = "uneven_tread"
    PACKED_WITH_SOIL = "packed_with_soil"
    PIN_WALKING_OUT = "pin_walking_out"
    DRY_JOINT = "dry_joint"
    JOINING_LINK_LOOSE = "joining_link_loose"
    SNAKING = "snaking"
    SIDE_WEAR = "side_wear"
    PIN_BOSS_CONTACT = "pin_boss_contact"
    HOOKED_TEETH = "hooked_teeth"
    BROKEN_TEETH = "broken_teeth"
    BROKEN_RECOIL_SPRING = "broken_recoil_spring"
    LOSING_PRESSURE = "losing_pressure"
    HOLLOW_RAIL = "hollow_rail"
    CAME_OFF = "came_off"
    ODD_PART = "odd_part"


class Severity(StrEnum):
    """How bad a finding is, in words."""

    SLIGHT = "slight"
    CLEAR = "clear"
    SEVERE = "severe"

    @classmethod
    def _missing_(cls, value: object) -> "Severity | None":
        return cls.CLEAR if value == "marked" else None  # as it was written before


Calls = tuple[Call, Call, Call]


@dataclass(frozen=True, slots=True)
class Grade:
    """How grave a kind of finding is on some parts.

    Parameters
    ----------
    parts : tuple of PartKind
        Parts it is as grave on.
    calls : tuple of Call
        The call for slight, clear and severe.
    stake : Stake
        What a stop is about: somebody can be hurt, or it ruins what is dearer.

    References
    ----------
    Common practice, no source.
    """

    parts: tuple[PartKind, ...]
    calls: Calls
    stake: Stake = Stake.UNSAFE


@dataclass(frozen=True, slots=True)
class Consequence:
    """What one kind of finding leads to.

    Parameters
    ----------
    grades : tuple of Grade
        How grave it is, part by part.
    job : JobKind
        The job when clear or severe.
    slight_job : JobKind
        The job when slight.

    References
    ----------
    Common practice, no source.
    """

    grades: tuple[Grade, ...]
    job: JobKind
    slight_job: JobKind

    @property
    def parts(self) -> tuple[PartKind, ...]:
        """Parts it can be seen on."""
        return tuple(part for grade in self.grades for part in grade.parts)

    def on(self, part: PartKind) -> Grade:
        """How grave it is on one of its parts.

        Returns
        -------
        Grade
            Calls, and what a stop is about.

        Raises
        ------
        StopIteration
            It is not seen on that part.

        References
        ----------
        Common practice, no source.
        """
        return next(grade for grade in self.grades if part in grade.parts)


_ROLLERS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)
_RUN, _BOOK, _STOP = Call.RUN, Call.BOOK, Call.STOP
_AT_ONCE: Calls = (_STOP, _STOP, _STOP)
_FROM_CLEAR: Calls = (_BOOK, _STOP, _STOP)
_FROM_SEVERE: Calls = (_BOOK, _BOOK, _STOP)
_GROWS: Calls = (_RUN, _BOOK, _STOP)
_NEVER_STOPS: Calls = (_RUN, _BOOK, _BOOK)
_RUINS = Stake.RUINS

CONSEQUENCES: dict[FindingKind, Consequence] = {
    FindingKind.LEAK: Consequence(
        (
            Grade((*_ROLLERS, PartKind.IDLER, PartKind.SLEW_RING), _GROWS, _RUINS),
            Grade((PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER), _GROWS),
        ),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.SEIZED: Consequence(
        (
            Grade((PartKind.BOTTOM_ROLLER, PartKind.IDLER), _FROM_CLEAR, _RUINS),
            Grade((PartKind.UPPER_ROLLER,), _FROM_SEVERE, _RUINS),
        ),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.FLAT: Consequence(
        (Grade(_ROLLERS, _GROWS, _RUINS),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.SHAFT_PLAY: Consequence(
        (Grade((*_ROLLERS, PartKind.IDLER), _GROWS, _RUINS),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.CRACKED: Consequence(
        (
            Grade(
                (
                    PartKind.SLEW_RING,
                    PartKind.TRACK_ADJUSTER,
                    PartKind.IDLER,
                    PartKind.FINAL_DRIVE,
                    PartKind.CHAIN,
                    PartKind.LINK,
                ),
                _AT_ONCE,
            ),
            Grade((PartKind.SHOE, PartKind.RUBBER_TRACK, PartKind.SPROCKET, PartKind.GUARD), _FROM_CLEAR),
            Grade((PartKind.BUSH, *_ROLLERS), _FROM_CLEAR, _RUINS),
        ),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.BENT: Consequence(
        (
            Grade((PartKind.SHOE, PartKind.GUARD, PartKind.PAD), _GROWS, _RUINS),
            Grade((PartKind.LINK,), _GROWS),
        ),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.MISSING_BOLTS: Consequence(
        (
            Grade((PartKind.SLEW_RING, PartKind.FINAL_DRIVE), _AT_ONCE),
            Grade(
                (
                    PartKind.SHOE,
                    PartKind.PAD,
                    PartKind.SPROCKET,
                    *_ROLLERS,
                    PartKind.IDLER,
                    PartKind.GUARD,
                    PartKind.TRACK_ADJUSTER,
                ),
                _FROM_CLEAR,
            ),
        ),
        JobKind.REFIT_BOLTS,
        JobKind.REFIT_BOLTS,
    ),
    FindingKind.LOOSE_BOLTS: Consequence(
        (
            Grade((PartKind.SLEW_RING,), _AT_ONCE),
            Grade((PartKind.SPROCKET, PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER), _FROM_CLEAR),
            Grade((PartKind.SHOE, PartKind.PAD, *_ROLLERS, PartKind.IDLER, PartKind.GUARD), _FROM_SEVERE),
        ),
        JobKind.REFIT_BOLTS,
        JobKind.REFIT_BOLTS,
    ),
    FindingKind.BOLT_HOLES_ELONGATED: Consequence(
        (Grade((PartKind.SHOE,), _FROM_SEVERE, _RUINS),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.CORD_SHOWING: Consequence(
        (Grade((PartKind.RUBBER_TRACK,), _FROM_CLEAR),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.SEPARATION: Consequence(
        (
            Grade((PartKind.RUBBER_TRACK,), _FROM_CLEAR),
            Grade((PartKind.PAD,), (_BOOK, _BOOK, _BOOK)),
        ),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.CUT: Consequence(
        (Grade((PartKind.RUBBER_TRACK,), _GROWS), Grade((PartKind.PAD,), _NEVER_STOPS)),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.TORN_GUIDE_LUG: Consequence(
        (Grade((PartKind.RUBBER_TRACK,), _FROM_SEVERE),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.LUG_TORN_OFF: Consequence(
        (Grade((PartKind.RUBBER_TRACK,), _FROM_SEVERE),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.STEEL_INSERT_LOST_OR_BROKEN: Consequence(
        (Grade((PartKind.RUBBER_TRACK,), _FROM_CLEAR),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.PAD_TORN_OR_MISSING: Consequence(
        (Grade((PartKind.PAD,), _NEVER_STOPS),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.UNEVEN_TREAD: Consequence(
        (Grade((*_ROLLERS, PartKind.IDLER, PartKind.RUBBER_TRACK, PartKind.PAD), _NEVER_STOPS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.PACKED_WITH_SOIL: Consequence(
        (
            Grade(
                (PartKind.CHAIN, PartKind.RUBBER_TRACK, PartKind.SPROCKET, *_ROLLERS, PartKind.IDLER),
                (_RUN, _RUN, _BOOK),
            ),
        ),
        JobKind.CLEAN_OUT,
        JobKind.CLEAN_OUT,
    ),
    FindingKind.PIN_WALKING_OUT: Consequence(
        (Grade((PartKind.CHAIN,), _AT_ONCE),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.DRY_JOINT: Consequence(
        (Grade((PartKind.CHAIN,), _FROM_SEVERE, _RUINS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.JOINING_LINK_LOOSE: Consequence(
        (Grade((PartKind.CHAIN,), _AT_ONCE),),
        JobKind.REFIT_BOLTS,
        JobKind.REFIT_BOLTS,
    ),
    FindingKind.SNAKING: Consequence(
        (Grade((PartKind.CHAIN,), _GROWS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.SIDE_WEAR: Consequence(
        (Grade((PartKind.LINK,), _NEVER_STOPS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.PIN_BOSS_CONTACT: Consequence(
        (Grade((PartKind.LINK,), _GROWS, _RUINS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.HOOKED_TEETH: Consequence(
        (Grade((PartKind.SPROCKET,), _FROM_SEVERE),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.BROKEN_TEETH: Consequence(
        (Grade((PartKind.SPROCKET,), _FROM_CLEAR),),
        JobKind.REPLACE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.BROKEN_RECOIL_SPRING: Consequence(
        (Grade((PartKind.TRACK_ADJUSTER,), _AT_ONCE),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.LOSING_PRESSURE: Consequence(
        (Grade((PartKind.TRACK_ADJUSTER,), _FROM_SEVERE),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.HOLLOW_RAIL: Consequence(
        (Grade((PartKind.LINK,), _NEVER_STOPS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.CAME_OFF: Consequence(
        (Grade((PartKind.CHAIN, PartKind.RUBBER_TRACK), _AT_ONCE),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
    FindingKind.ODD_PART: Consequence(
        (Grade((PartKind.CHAIN, PartKind.SHOE, *_ROLLERS, PartKind.IDLER, PartKind.SPROCKET), _NEVER_STOPS),),
        JobKind.INVESTIGATE,
        JobKind.INVESTIGATE,
    ),
}


def why_it_matters(kind: FindingKind) -> Saying:
    """Why a kind of finding matters, in one clause."""
    return saying(f"finding.{kind.value}")


FAMILIES: tuple[tuple[FindingKind, ...], ...] = (
    (
        FindingKind.CRACKED,
        FindingKind.BENT,
        FindingKind.MISSING_BOLTS,
        FindingKind.LOOSE_BOLTS,
        FindingKind.CORD_SHOWING,
        FindingKind.SEPARATION,
        FindingKind.CUT,
        FindingKind.STEEL_INSERT_LOST_OR_BROKEN,
        FindingKind.PIN_WALKING_OUT,
        FindingKind.JOINING_LINK_LOOSE,
        FindingKind.BROKEN_TEETH,
        FindingKind.BROKEN_RECOIL_SPRING,
    ),
    (
        FindingKind.LEAK,
        FindingKind.SEIZED,
        FindingKind.FLAT,
        FindingKind.SHAFT_PLAY,
        FindingKind.LOSING_PRESSURE,
    ),
)
"""Findings that point at one failure: the part comes apart; its seal and what it seals give out. Common practice, no source."""


_OF_SEVERAL = (
    PartKind.CHAIN,
    PartKind.BUSH,
    PartKind.LINK,
    PartKind.SHOE,
    PartKind.PAD,
    PartKind.SPROCKET,
    PartKind.RUBBER_TRACK,
    PartKind.GUARD,
)
_OF_THE_WHOLE = (
    FindingKind.PACKED_WITH_SOIL,
    FindingKind.UNEVEN_TREAD,
    FindingKind.SNAKING,
    FindingKind.SIDE_WEAR,
    FindingKind.JOINING_LINK_LOOSE,
    FindingKind.HOLLOW_RAIL,
    FindingKind.CAME_OFF,
)


def asks_how_many(kind: FindingKind, part: PartKind) -> bool:
    """Whether it is asked how many were seen: cuts and teeth are counted, the leaks of one roller are not.

    References
    ----------
    Common practice, no source.
    """
    return part in _OF_SEVERAL and kind not in _OF_THE_WHOLE


def seen_on(part: PartKind, gear: RunningGear) -> tuple[FindingKind, ...]:
    """What may be seen on a part of a running gear.

    Returns
    -------
    tuple of FindingKind
        No dry joint on a dry chain: it has no oil to lose.

    References
    ----------
    Common practice, no source.
    """
    dry = gear.chain_type is ChainType.DRY
    kinds = (kind for kind in FindingKind if part in CONSEQUENCES[kind].parts)
    return tuple(kind for kind in kinds if not (dry and kind is FindingKind.DRY_JOINT))
