"""What is made up about one machine of the demo yard, before chance has its turn."""

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass, field

from pitchline.demo.limits import METRIC_GRAIN_M, Quantity
from pitchline.demo.sheets import Hand
from pitchline.demo.simulate import Habits
from pitchline.trade.calls import CallRule
from pitchline.trade.dossier import Event, LineShape, PartEvent, Utilisation
from pitchline.trade.findings import Finding
from pitchline.trade.ground import GroundClass, GroundSpan, NamedGround
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind, RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Tool

INVENTED = "Invented for the demo yard: there is no such machine, and its sizes and limits are nobody's."
NEVER = math.inf


@dataclass(frozen=True, slots=True)
class Recipe:
    """One invented machine.

    Parameters
    ----------
    number : int
        Number in the yard, from 1.
    nickname : str
        What the yard calls it; a plant, in the order of the alphabet.
    words : str
        What it is.
    kind : MachineKind
        Family.
    mass_kg : float
        Operating mass [kg], above zero.
    gear : RunningGear
        Its running gear.
    days : tuple of datetime.date
        Days of the walk-rounds, the last one the newest sheet's.
    sheet_h : float
        Service hours at the newest sheet [h].
    week_h : tuple of (float, float, float)
        Hours a week: low, usual, high [h].
    ground : GroundClass
        Ground it truly works in outside the spans.
    spans : tuple of GroundSpan
        Spans in other ground.
    history : tuple of PartEvent
        What was done and written down.
    forgotten : tuple of PartEvent
        What was done and not written down.
    seen : dict of int to tuple of Finding
        Findings by walk-round, counted from 0.
    scale_m : float or None
        What sizes are scaled by [m]; None takes the chain's pitch.
    grain_m : float
        What invented sizes are rounded to [m].
    no_limit : tuple of (PartKind, Measurand)
        Quantities whose limit the yard never entered.
    by_rule : tuple of (PartKind, Measurand)
        Quantities whose limit the yard took by rule of thumb.
    shapes : dict of (PartKind, Measurand) to LineShape
        Wear lines that are not a plain straight one; see `pitchline.demo.limits.shaped`.
    at_limit : dict of PartKind to JobKind
        What the yard does at the limit where that is not the usual job.
    lives_h : tuple of (PartKind, Measurand, float)
        Usual lives the yard wrote down [h].
    hand : Hand
        How its sheets are filled in.
    habits : Habits
        How it wears and is looked after.
    tools : tuple of Tool
        Tools of its own.
    meter_changed_on : datetime.date or None
        Day the hour meter was changed.
    hours_a_week_entered, ground_entered, meter_from_new, as_workbook : bool
        Whether the yard entered hours a week and the usual ground, whether the meter runs from new, and whether the sheet is
        written as a workbook too.
    slip_at : Place or None
        Where the newest sheet holds a deliberate slip.
    passed_by : tuple of PartKind
        Parts nobody looked over on the newest walk-round where they were not read.
    call_rule : CallRule
        When figures become a call.
    by : str
        Who goes round.
    goes_to : tuple of NamedGround
        Grounds by name that the yard wrote down.
    travel_share : float or None
        Share of its hours it travels, as the yard wrote it down [1].
    asked : float or None
        What is asked for it [EUR]; invented.
    note : str
        What is particular about it.
    """

    number: int
    nickname: str
    words: str
    kind: MachineKind
    mass_kg: float
    gear: RunningGear
    days: tuple[dt.date, ...]
    sheet_h: float
    week_h: tuple[float, float, float]
    ground: GroundClass = GroundClass.MIDDLING
    spans: tuple[GroundSpan, ...] = ()
    history: tuple[PartEvent, ...] = ()
    forgotten: tuple[PartEvent, ...] = ()
    seen: dict[int, tuple[Finding, ...]] = field(default_factory=dict)
    scale_m: float | None = None
    grain_m: float = METRIC_GRAIN_M
    no_limit: tuple[Quantity, ...] = ()
    by_rule: tuple[Quantity, ...] = ()
    shapes: dict[Quantity, LineShape] = field(default_factory=dict)
    at_limit: dict[PartKind, JobKind] = field(default_factory=dict)
    lives_h: tuple[tuple[PartKind, Measurand, float], ...] = ()
    hand: Hand = field(default_factory=Hand)
    habits: Habits = field(default_factory=Habits)
    tools: tuple[Tool, ...] = ()
    meter_changed_on: dt.date | None = None
    hours_a_week_entered: bool = True
    ground_entered: bool = True
    meter_from_new: bool = True
    as_workbook: bool = False
    slip_at: Place | None = None
    passed_by: tuple[PartKind, ...] = ()
    call_rule: CallRule = field(default_factory=CallRule)
    by: str = "yard fitter"
    goes_to: tuple[NamedGround, ...] = ()
    travel_share: float | None = None
    asked: float | None = None
    note: str = ""

    @property
    def size_m(self) -> float:
        """What the machine's sizes are scaled by [m]."""
        return self.gear.pitch_m if self.scale_m is None else self.scale_m

    @property
    def machine(self) -> Machine:
        """The machine, its note saying that it is invented."""
        name = f"{self.nickname}, {self.words}"
        note = f"{INVENTED} {self.note}".strip()
        return Machine(f"{self.number:02d}-{self.nickname.lower()}", name, self.kind, self.mass_kg, note)

    @property
    def utilisation(self) -> Utilisation | None:
        """Hours a week as entered, if they were."""
        return Utilisation(*self.week_h) if self.hours_a_week_entered else None

    @property
    def ground_at(self) -> Callable[[float], GroundClass]:
        """Ground truly worked in at given service hours."""

        def ground(service_h: float) -> GroundClass:
            spans = (span.ground for span in self.spans if span.from_h <= service_h < span.to_h)
            return next(spans, self.ground)

        return ground


def left(part: PartKind, position: int = 0) -> Place:
    """A place on the left.

    Parameters
    ----------
    part : PartKind
        The part.
    position : int
        Number from the front; 0 for parts that are not numbered.
    """
    return Place(part, Side.LEFT, position)


def right(part: PartKind, position: int = 0) -> Place:
    """A place on the right.

    Parameters
    ----------
    part : PartKind
        The part.
    position : int
        Number from the front; 0 for parts that are not numbered.
    """
    return Place(part, Side.RIGHT, position)


def both(part: PartKind, event: Event, service_h: float) -> tuple[PartEvent, ...]:
    """The same done on both sides, at every position.

    Parameters
    ----------
    part : PartKind
        The part.
    event : Event
        What was done.
    service_h : float
        Service hours then [h], zero or more.
    """
    return tuple(PartEvent(place, event, service_h) for place in (left(part), right(part)))


def days_of_2026(*month_and_day: tuple[int, int]) -> tuple[dt.date, ...]:
    """Days in the demo yard's one year."""
    return tuple(dt.date(2026, month, day) for month, day in month_and_day)
