"""Everything known about one machine: what a judgement starts from."""

import datetime as dt
import math
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import pairwise

from pitchline.trade.asking import AskingPrice
from pitchline.trade.assumed_limits import GENEROUS, rule_of
from pitchline.trade.calls import CallRule
from pitchline.trade.causes import LookedFor
from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.ground import GroundClass, GroundMix, GroundSpan, NamedGround
from pitchline.trade.hours_seen import HoursSeen, check_hours_seen
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, RunningGear
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role
from pitchline.trade.meter import MeterChange
from pitchline.trade.part_events import Event as Event
from pitchline.trade.part_events import PartEvent as PartEvent
from pitchline.trade.parts import PartKind, at
from pitchline.trade.readings import DEFAULT_TOOLS, Tool, WalkRound
from pitchline.trade.work_done import WorkDone, check_work, joints_out
from pitchline.trade.writing import as_figure


class LineShape(StrEnum):
    """How a wear line runs between its points."""

    STRAIGHT = "straight"
    SHAPE_PRESERVING = "shape_preserving"
    TAPERED_BAR = "tapered_bar"
    FLAT_ON_ROUND = "flat_on_round"


def _of(measurand: Measurand, part: PartKind) -> Phrase:
    return phrase("{quantity:quantity} of {part:part}", quantity=measurand, part=part)


@dataclass(frozen=True, slots=True)
class Limit:
    """The yard's own new size and wear limit of one quantity.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        The quantity, one that wears.
    new_m : float
        New size [m]; for a pitch the size of one joint.
    limit_m : float or None
        Wear limit [m]; None when the yard has not entered one.
    between : tuple of (float, float)
        Points between: size [m] and life used [1], in order from new to limit.
    shape : LineShape
        Straight or shape-preserving through the points, or a line from the section's geometry.
    tip_width_m, root_width_m : float or None
        Grouser bar's width at tip and root [m], for a tapered bar.
    u_new_m : float or None
        Standard uncertainty of the new size [m]; None takes 2 % of the wear allowance, an assumption of this project.
    turn_at : float
        Life used at which bushes are turned [1], inside (0, 1). Half worn: common practice, no source.
    at_limit : JobKind or None
        What the yard does at the limit; None takes the usual job of the part.
    source : str
        Where the yard has the figures from.
    assumed : bool
        Whether the limit is a rule of thumb that somebody took for want of a manual.

    Raises
    ------
    NotAllowedError
        A limit on the wrong side of new, a size that is not finite and above zero, a quantity that does not wear, or an assumed
        limit of what none is ever assumed for.

    References
    ----------
    Definition. The project ships no limits of its own.
    """

    part: PartKind
    measurand: Measurand
    new_m: float
    limit_m: float | None
    between: tuple[tuple[float, float], ...] = ()
    shape: LineShape = LineShape.STRAIGHT
    tip_width_m: float | None = None
    root_width_m: float | None = None
    u_new_m: float | None = None
    turn_at: float = 0.5
    at_limit: JobKind | None = None
    source: str = ""
    assumed: bool = False

    def __post_init__(self) -> None:
        words = MEASURANDS[self.measurand]
        if self.part not in words.parts or words.role is not Role.WEAR:
            raise NotAllowedError("limit", _of(self.measurand, self.part), "a quantity that wears on this part")
        if not 0 <= self.new_m < math.inf or (self.new_m == 0 and words.direction is Direction.FALLS):
            raise NotAllowedError(
                phrase("{quantity:quantity}, new", quantity=self.measurand), self.new_m, "a size above 0"
            )
        if self.limit_m is not None:
            falls = words.direction is Direction.FALLS
            wrong_side = self.limit_m == self.new_m or (self.limit_m < self.new_m) is not falls
            if not 0 <= self.limit_m < math.inf or wrong_side:
                raise NotAllowedError(
                    phrase("{quantity:quantity}, limit", quantity=self.measurand),
                    f"{as_figure(self.limit_m * 1e3, 'g')} mm",
                    phrase(
                        "{case} the new size of {new_m} mm, because it {direction} with wear",
                        case="below" if falls else "above",
                        new_m=as_figure(self.new_m * 1e3, "g"),
                        direction=words.direction.value,
                    ),
                    "Check which of the two sizes is new and which is the limit.",
                )
        if not 0 < self.turn_at < 1:
            raise NotAllowedError("turn at life used", self.turn_at, "between 0 and 1")
        if self.assumed:
            rule_of(self.part, self.measurand)
            if self.limit_m is None:
                raise NotAllowedError(
                    "assumed limit", "no limit", "the size it is assumed to be", "Enter the limit."
                )

    @property
    def allowance_doubt(self) -> float:
        """Standard doubt of the wear allowance, as a share of it [1]; 0 where the limit is not assumed."""
        return rule_of(self.part, self.measurand).doubt if self.assumed else 0.0

    @property
    def generous(self) -> float:
        """Life used at the most generous limit that the doubt of an assumed one allows [1]; 1 where the limit is sure."""
        return 1.0 + GENEROUS * self.allowance_doubt


@dataclass(frozen=True, slots=True)
class PermittedRange:
    """The range an adjusted quantity must stay in.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        Sag or adjuster extension.
    least_m, most_m : float
        Permitted range [m], the second above the first.
    source : str
        Where the yard has the figures from.

    Raises
    ------
    NotAllowedError
        The range is empty or the quantity is not one that is set.

    References
    ----------
    Definition. The project ships no figures of its own.
    """

    part: PartKind
    measurand: Measurand
    least_m: float
    most_m: float
    source: str = ""

    def __post_init__(self) -> None:
        words = MEASURANDS[self.measurand]
        if self.part not in words.parts or words.role is not Role.SETTING:
            raise NotAllowedError("range", _of(self.measurand, self.part), "sag or adjuster extension")
        if not 0 <= self.least_m < self.most_m:
            raise NotAllowedError(
                phrase("{quantity:quantity}, range", quantity=self.measurand),
                phrase(
                    "{least_m} to {most_m} mm",
                    least_m=as_figure(self.least_m * 1e3, "g"),
                    most_m=as_figure(self.most_m * 1e3, "g"),
                ),
                "0 or more, and the second figure above the first",
            )


@dataclass(frozen=True, slots=True)
class KindLife:
    """What the yard expects of one kind of part: a weak starting point that readings move.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        The quantity that reaches its limit.
    typical_life_h : float
        Hours from new to the limit on middling ground [h], above zero.
    log_spread : float
        Standard deviation of its logarithm [1], above 0 up to 2.

    Raises
    ------
    NotAllowedError
        A figure outside its range.
    """

    part: PartKind
    measurand: Measurand
    typical_life_h: float
    log_spread: float = 0.5

    def __post_init__(self) -> None:
        if not 10 <= self.typical_life_h <= 100_000:
            raise NotAllowedError(
                "typical life",
                f"{as_figure(self.typical_life_h, 'g')} h",
                phrase("10 to {as_figure} h", as_figure=as_figure(100_000)),
            )
        if not 0 < self.log_spread <= 2:
            raise NotAllowedError("spread of typical life", self.log_spread, "above 0 up to 2")


@dataclass(frozen=True, slots=True)
class Utilisation:
    """Hours the machine works in a week.

    Parameters
    ----------
    low, usual, high : float
        Hours a week [h], above 0 up to 168, in rising order.

    Raises
    ------
    NotAllowedError
        Out of order or outside the range.
    """

    low: float
    usual: float
    high: float

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.usual <= self.high <= 168:
            raise NotAllowedError(
                "hours a week",
                f"{as_figure(self.low, 'g')}, {as_figure(self.usual, 'g')}, {as_figure(self.high, 'g')}",
                "three figures above 0 up to 168, low before usual before high",
            )


HOURS_PER_DAY = 24.0


@dataclass(frozen=True, slots=True)
class Dossier:
    """Everything known about one machine.

    Parameters
    ----------
    machine : Machine
        The machine.
    gear : RunningGear
        Its running gear, with the joints that the work took out of it.
    limits : tuple of Limit
        The yard's new sizes and limits.
    ranges : tuple of PermittedRange
        The yard's ranges for sag and adjuster.
    kind_lives : tuple of KindLife
        The yard's own expectations; kinds left out take the project's weak ones.
    events : tuple of PartEvent
        What the history says was fitted, turned or rebuilt, beside the work.
    ground_spans : tuple of GroundSpan
        Ground worked in, not overlapping.
    usual_ground : GroundClass
        Ground of hours no span covers, and of the hours to come where no mix is entered for them.
    walk_rounds : tuple of WalkRound
        In order of date.
    utilisation : Utilisation or None
        Hours a week; None leaves hours without dates.
    call_rule : CallRule
        When figures become a call.
    meter_from_new : bool
        Whether service hours count from when the machine was new.
    meter_changes : tuple of MeterChange
        Changes of the hour meter, in order of date.
    tools : tuple of Tool
        The yard's own tools; names it shares with the project's defaults replace them.
    ground_entered : bool
        Whether somebody entered the usual ground, or it was taken as middling for want of better.
    ground_mix : tuple of NamedGround
        Grounds it goes to by name; their shares make 100 %. Empty where nobody named any.
    ground_to_come : GroundMix or None
        Shares of the hours to come over the grounds; None takes the usual ground.
    travel_share : float or None
        Share of the engine hours in which the machine travels [1], 0 to 1; None when nobody said.
    asking : AskingPrice or None
        What is asked for the machine; None where nobody said.
    work : tuple of WorkDone
        What was done to it and written down with its day.
    looked_for : tuple of LookedFor
        Causes and signs of wear that somebody looked for, in order of entry.
    hours_seen : tuple of HoursSeen
        What its meter was seen to show between walk-rounds, in order of date.
    own_week : bool
        Whether `utilisation` holds, whatever hours a week the hours seen tell.

    Raises
    ------
    NotAllowedError
        A share of travelling outside 0 to 1, walk-rounds or hours seen out of order, service hours that fall, ground spans that
        overlap, named grounds that do not make 100 % or come twice, the same limit twice, or a reading at a place this running
        gear does not have.
    """

    machine: Machine
    gear: RunningGear
    limits: tuple[Limit, ...] = ()
    ranges: tuple[PermittedRange, ...] = ()
    kind_lives: tuple[KindLife, ...] = ()
    events: tuple[PartEvent, ...] = ()
    ground_spans: tuple[GroundSpan, ...] = ()
    usual_ground: GroundClass = GroundClass.MIDDLING
    walk_rounds: tuple[WalkRound, ...] = ()
    utilisation: Utilisation | None = None
    call_rule: CallRule = field(default_factory=CallRule)
    meter_from_new: bool = True
    meter_changes: tuple[MeterChange, ...] = ()
    tools: tuple[Tool, ...] = ()
    ground_entered: bool = True
    ground_mix: tuple[NamedGround, ...] = ()
    ground_to_come: GroundMix | None = None
    travel_share: float | None = None
    asking: AskingPrice | None = None
    work: tuple[WorkDone, ...] = ()
    looked_for: tuple[LookedFor, ...] = ()
    hours_seen: tuple[HoursSeen, ...] = ()
    own_week: bool = False

    def __post_init__(self) -> None:
        if self.travel_share is not None and not 0 <= self.travel_share <= 1:
            raise NotAllowedError("share travelling", f"{as_figure(100 * self.travel_share, 'g')} %", "0 to 100 %")
        self._check_walk_rounds()
        self._check_work()
        check_hours_seen(self.hours_seen)
        out = joints_out(self.work, self.events)
        if out != self.gear.joints_out:
            object.__setattr__(self, "gear", replace(self.gear, joints_out=out))
        spans = sorted(self.ground_spans, key=lambda span: span.from_h)
        for before, after in pairwise(spans):
            if after.from_h < before.to_h:
                raise NotAllowedError(
                    "ground spans",
                    " and ".join(
                        f"{as_figure(a.from_h, 'g')} to {as_figure(a.to_h, 'g')} h" for a in (before, after)
                    ),
                    "spans that do not overlap",
                )
        self._check_mix()
        seen: set[tuple[PartKind, Measurand]] = set()
        for limit in self.limits:
            if (limit.part, limit.measurand) in seen:
                raise NotAllowedError(
                    "limits",
                    phrase("{what} twice", what=_of(limit.measurand, limit.part)),
                    "each once",
                )
            seen.add((limit.part, limit.measurand))

    def metered_h(self, day: dt.date) -> float | None:
        """Service hours the meter was last seen to show, on a walk-round, at work or by a feed.

        Parameters
        ----------
        day : datetime.date
            What came later is left out.

        Returns
        -------
        float or None
            Hours [h]; None where nobody saw it.
        """
        return max((service_h for seen_on, service_h in self.sights if seen_on <= day), default=None)

    @property
    def sights(self) -> list[tuple[dt.date, float]]:
        """Days the meter was seen, and service hours then [h]: on walk-rounds, at work, between them."""
        walked = [(one.date, one.service_h) for one in self.walk_rounds]
        worked = [(one.date, one.service_h) for one in self.work]
        return sorted([*walked, *worked, *((one.date, one.service_h) for one in self.hours_seen)])

    def _check_mix(self) -> None:
        names = [each.name for each in self.ground_mix]
        twice = [name for name in names if names.count(name) > 1]
        if twice:
            raise NotAllowedError(
                "grounds", phrase("{twice} twice", twice=twice[0]), "each once", "Add their shares up."
            )
        whole = math.fsum(each.percent for each in self.ground_mix)
        if names and abs(whole - 100) > 0.01:
            raise NotAllowedError("shares of the grounds", f"{as_figure(whole, 'g')} %", "100 % together")

    def _check_walk_rounds(self) -> None:
        places = set(self.gear.places())
        for before, after in pairwise(self.walk_rounds):
            if after.date <= before.date:
                raise NotAllowedError(
                    "walk-round date",
                    after.date.isoformat(),
                    phrase("later than the walk-round before, {date}", date=before.date),
                )
            if after.service_h < before.service_h:
                raise NotAllowedError(
                    "hours on the meter",
                    phrase("{service_h} h on {date}", service_h=as_figure(after.service_h, "g"), date=after.date),
                    phrase(
                        "at least the {service_h} h of {date}",
                        service_h=as_figure(before.service_h, "g"),
                        date=before.date,
                    ),
                    "If the meter was changed, enter the change; else correct the hours.",
                )
            most_h = HOURS_PER_DAY * (after.date - before.date).days
            if after.service_h - before.service_h > most_h:
                raise NotAllowedError(
                    "hours on the meter",
                    phrase("{service_h} h on {date}", service_h=as_figure(after.service_h, "g"), date=after.date),
                    phrase(
                        "at most {most_h} h, because {date} had {service_h} h and a day has 24",
                        most_h=as_figure(before.service_h + most_h, "g"),
                        date=before.date,
                        service_h=as_figure(before.service_h, "g"),
                    ),
                    "Read the meter again; if it was changed, enter the change.",
                )
        for walk_round in self.walk_rounds:
            stood_at = [reading.place for reading in walk_round.readings]
            stood_at += [finding.place for finding in walk_round.findings]
            for place in (*stood_at, *walk_round.looked_over):
                if place not in places:
                    raise NotAllowedError("place", at(place), "a place this running gear has")

    def _check_work(self) -> None:
        places = set(self.gear.places())
        for one in self.work:
            read_at = (reading.place for reading in one.readings)
            for place in (*one.places, *(place for place, _ in one.put_right), *read_at):
                if place not in places:
                    raise NotAllowedError("parts", at(place), "a part this running gear has", "Choose another.")
        check_work(self.work, self.walk_rounds, self.events)

    @property
    def part_events(self) -> tuple[PartEvent, ...]:
        """What was fitted, turned or rebuilt, by the history and by the work written down."""
        return (
            self.events
            if not self.work
            else (*self.events, *(event for one in self.work for event in one.part_events))
        )

    @property
    def mix_to_come(self) -> GroundMix:
        """Grounds of the hours to come: as entered, else the usual ground alone."""
        return self.ground_to_come or GroundMix.all_of(self.usual_ground)

    @property
    def last_walk_round(self) -> WalkRound | None:
        """The newest walk-round, if any."""
        return self.walk_rounds[-1] if self.walk_rounds else None

    def limit_of(self, part: PartKind, measurand: Measurand) -> Limit | None:
        """The yard's limit for a quantity.

        Returns
        -------
        Limit or None
            None when nothing was entered.
        """
        return next((x for x in self.limits if x.part is part and x.measurand is measurand), None)

    def range_of(self, part: PartKind, measurand: Measurand) -> PermittedRange | None:
        """The yard's range for a quantity that is set.

        Returns
        -------
        PermittedRange or None
            None when nothing was entered.
        """
        return next((x for x in self.ranges if x.part is part and x.measurand is measurand), None)

    def range_missing(self, part: PartKind, measurand: Measurand) -> bool:
        """Whether a quantity that is set has nothing to be judged by: no range, nor, for the adjuster, its stroke."""
        has_stroke = measurand is Measurand.ADJUSTER_EXTENSION and self.gear.adjuster_stroke_m is not None
        is_set = MEASURANDS[measurand].role is Role.SETTING
        return is_set and not has_stroke and self.range_of(part, measurand) is None

    def tool(self, name: str) -> Tool | None:
        """A tool by its short name.

        Returns
        -------
        Tool or None
            The yard's own, else the project's default; None when neither knows it.
        """
        return next((tool for tool in self.tools if tool.name == name), DEFAULT_TOOLS.get(name))
