"""Every view by its word, for the shell and for pages."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.picture.footnote import noted
from pitchline.picture.ink import Tone
from pitchline.picture.part import part_first, part_svg
from pitchline.picture.plan import plan_svg
from pitchline.picture.plan_strip import plan_strip_svg
from pitchline.picture.record import record_svg
from pitchline.picture.side import side_svg
from pitchline.picture.verdict_sizes import soonest
from pitchline.picture.yard import yard_svg
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundSpan
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words import translated
from pitchline.words.cautions import WORKING_AID

VIEWS = ("side", "part", "record", "above", "chart", "hours-line")
VIEWS_BEFORE = {"plan": "above", "yard": "chart", "strip": "hours-line"}
"""What views were called before; still understood."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which view, of what, and how.

    Parameters
    ----------
    view : str
        One of `VIEWS`.
    side : Side
        Left or right, for one side and for a wear record.
    part : PartKind or None
        Part of a part drawing or wear record; None takes the one due first.
    number : int
        Number of a roller or idler; 0 takes the one due first.
    quantity : Measurand or None
        Quantity of a wear record; None takes the one due first.
    width : int
        Width [CSS pixels].
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    """

    view: str
    side: Side = Side.LEFT
    part: PartKind | None = None
    number: int = 0
    quantity: Measurand | None = None
    width: int = 1200
    units: UnitSystem = UnitSystem.METRIC
    tone: Tone = Tone.SYSTEM


def drawn(verdicts: Sequence[Verdict], wanted: Wanted, spans: Sequence[GroundSpan] = ()) -> str:
    """The drawing that is wanted, as SVG text of a file by itself: that it is no licence to work stands below it.

    Parameters
    ----------
    verdicts : sequence of Verdict
        One, or several for a yard.
    wanted : Wanted
        Which view, of what, and how.
    spans : sequence of GroundSpan
        Ground worked on so far, for a wear record.

    Raises
    ------
    NotAllowedError
        The view is not known, or the machine has no such part or quantity.
    """
    with writing(verdicts[0].writing):
        return noted(_drawn(verdicts, wanted, spans), translated(WORKING_AID))


def _drawn(verdicts: Sequence[Verdict], wanted: Wanted, spans: Sequence[GroundSpan]) -> str:
    view = VIEWS_BEFORE.get(wanted.view, wanted.view)
    verdict, how = verdicts[0], (wanted.width, wanted.units, wanted.tone)
    if view == "side":
        return side_svg(verdict, wanted.side, *how)
    if view == "above":
        return plan_svg(verdict, *how)
    if view == "chart":
        return yard_svg(verdicts, *how)
    if view == "hours-line":
        return plan_strip_svg(verdict, wanted.width, wanted.tone)
    if view not in VIEWS:
        raise NotAllowedError("--view", wanted.view, ", ".join(VIEWS))
    kind = wanted.part or _due_first(verdict)
    if view == "part":
        return part_svg(verdict, kind, wanted.number, *how)
    side = Side.NONE if kind is PartKind.SLEW_RING else wanted.side
    part = part_first(verdict, kind, side, wanted.number)
    judged = soonest(part)
    quantity = wanted.quantity or (judged.measurand if judged is not None else None)
    if quantity is None:
        raise NotAllowedError("--part", kind.value, "a part with a reading", "Choose another part.")
    return record_svg(verdict, part.place, quantity, spans, *how)


def _due_first(verdict: Verdict) -> PartKind:
    return verdict.next_due_place.part if verdict.next_due_place is not None else verdict.parts[0].place.part
