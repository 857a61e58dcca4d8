"""What a judgement says: plain values, ready to be written as a paper, a screen or a file.

Every class here is a result; nothing here computes. Hours are service hours counted from `Verdict.from_service_h`.

See docs/explanation/ (outlook.md, calls.md, plan-of-a-machine.md).
"""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from pitchline.cause.diagnosis import Diagnosis as Diagnosis
from pitchline.ground.section import GroundSection as GroundSection
from pitchline.match.odd_parts import Odd as Odd
from pitchline.money.amount import Money as Money
from pitchline.money.bid import Bid as Bid
from pitchline.money.worth import Worth as Worth
from pitchline.outlook.hours_left import Dates as Dates
from pitchline.outlook.hours_left import HoursLeft as HoursLeft
from pitchline.trade.calls import Call, CallRule, Stake
from pitchline.trade.dossier import Utilisation
from pitchline.trade.findings import Finding
from pitchline.trade.ground import GroundClass, GroundMix
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.machine import Machine, MachineKind, RunningGear, ShoeClass
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.saying import Saying
from pitchline.trade.writing import PLAIN, Writing
from pitchline.wear.suspicion import Suspicion as Suspicion

METHOD = "one-machine outlook, constants integrated"


@dataclass(frozen=True, slots=True)
class LineOnly:
    """The straight line through the readings alone, without any prior: a cross-check.

    Parameters
    ----------
    low_h, middle_h, high_h : float
        Hours left by the line, with its 80 % range [h].
    readings : int
        How many readings it rests on, 3 or more.

    References
    ----------
    Fieller, J. R. Stat. Soc. B 16 (1954) 175 (volume from memory).
    """

    low_h: float
    middle_h: float
    high_h: float
    readings: int


@dataclass(frozen=True, slots=True)
class Why:
    """One line of "why this figure".

    Parameters
    ----------
    what : str
        The ingredient, such as "reading" or "typical life".
    said : Saying
        Its value with unit.
    source : Saying
        Where it comes from.
    """

    what: str
    said: Saying
    source: Saying


@dataclass(frozen=True, slots=True)
class SizeBand:
    """Size of a part at some hours, as all its readings together tell it.

    Parameters
    ----------
    service_h : float
        Service hours [h].
    best_m, middle_m, worst_m : float
        The middle 80 % and its middle [m].
    """

    service_h: float
    best_m: float
    middle_m: float
    worst_m: float


@dataclass(frozen=True, slots=True)
class Course:
    """The course of wear of one quantity of one part.

    Parameters
    ----------
    past : tuple of SizeBand
        When fitted where that is known, at each reading, and now.
    cautious, middle, hopeful : tuple of (float, float)
        From now to the limit: service hours [h] and size [m]; 9, 5 and 1 in 10 stay above.
    turn_m : float or None
        Size at the turn point [m]; None when the part is not turned, or was.
    """

    past: tuple[SizeBand, ...]
    cautious: tuple[tuple[float, float], ...]
    middle: tuple[tuple[float, float], ...]
    hopeful: tuple[tuple[float, float], ...]
    turn_m: float | None = None


@dataclass(frozen=True, slots=True)
class EitherWay:
    """Both explanations of a reading that is not understood, in hours left.

    Parameters
    ----------
    if_right_h : float
        Middle hours left if the reading is right [h].
    if_misread_h : float
        Middle hours left if it was misread [h].
    """

    if_right_h: float
    if_misread_h: float


@dataclass(frozen=True, slots=True)
class Judged:
    """One measured quantity of one part.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What.
    status : str
        "judged", "no limit entered", "not read" (judged from the other parts only), "held back" or "setting".
    reading : Reading or None
        Newest reading of the part now fitted, None when there is none.
    read_on : datetime.date or None
        Its day.
    value_m : float or None
        The reading as one figure, per joint for a pitch [m].
    u_m : float or None
        Its standard uncertainty [m].
    expanded_u_m : float or None
        Half-width of its 95 % range [m].
    new_m, limit_m : float or None
        Sizes from the yard's limit [m].
    life_used, life_used_u : float or None
        Life used now by the outlook, and its standard uncertainty [1].
    beyond_line : bool
        The reading lies outside the entered points; the line was carried on.
    to_limit : HoursLeft or None
        Hours to the wear limit.
    to_turn : HoursLeft or None
        Hours to the turn point; None when the part is not turned, or was.
    after_turn : HoursLeft or None
        Hours the other face lasts, counted from the turn.
    line_only : LineOnly or None
        The cross-check, where three readings or more allow one.
    readings : int
        Readings used of the part now fitted.
    chance_changed : float
        Chance that the part was changed without a record [1].
    chance_misread : float
        Chance that one of its readings is far off [1].
    why : tuple of Why
        Why these figures.
    course : Course or None
        The way so far and the way to the limit; None where nothing was read or no limit is entered.
    life_used_read : float or None
        Life used as the newest reading alone says it, by the wear line [1].
    ruler_h : float or None
        Hours to the limit as a ruler draws them, at the rate so far of the part now fitted [h].
    parted : Saying or None
        Why the judged figure parts from the read one or from the ruler's; None where they agree.
    either_way : EitherWay or None
        Both explanations of a newest reading that is not understood.
    chance_odd : float
        Chance that the part wears unlike its fellows [1].
    limit_assumed : bool
        Whether its wear limit is a rule of thumb.
    least_m, most_m : float or None
        Range the yard entered for what is adjusted [m]; None for what wears, and in verdicts stored before.
    """

    place: Place
    measurand: Measurand
    status: str
    reading: Reading | None = None
    read_on: dt.date | None = None
    value_m: float | None = None
    u_m: float | None = None
    expanded_u_m: float | None = None
    new_m: float | None = None
    limit_m: float | None = None
    life_used: float | None = None
    life_used_u: float | None = None
    beyond_line: bool = False
    to_limit: HoursLeft | None = None
    to_turn: HoursLeft | None = None
    after_turn: HoursLeft | None = None
    line_only: LineOnly | None = None
    readings: int = 0
    chance_changed: float = 0.0
    chance_misread: float = 0.0
    why: tuple[Why, ...] = ()
    course: Course | None = None
    life_used_read: float | None = None
    ruler_h: float | None = None
    parted: Saying | None = None
    either_way: EitherWay | None = None
    chance_odd: float = 0.0
    limit_assumed: bool = False
    least_m: float | None = None
    most_m: float | None = None

    @property
    def believed_m(self) -> float | None:
        """The reading as one figure [m]; None where there is none, or it is held back until somebody answers."""
        return None if self.status == "held back" else self.value_m


@dataclass(frozen=True, slots=True)
class PartVerdict:
    """The call on one part.

    Parameters
    ----------
    place : Place
        The part.
    call : Call
        Run, book or stop.
    reason : Saying
        Why.
    job : JobKind or None
        What falls due first; None when nothing can be said to.
    due : HoursLeft or None
        Hours until that job; none at all for a stop; None for what findings alone call for, or where no limit is entered.
    dates : Dates or None
        The same as days.
    judged : tuple of Judged
        Each quantity of the part.
    findings : tuple of Finding
        What was seen on it at the last walk-round.
    stake : Stake or None
        What the call is about; None for run and unjudged.
    looked_at : bool
        Whether it was read or looked over at the last walk-round.
    """

    place: Place
    call: Call
    reason: Saying
    job: JobKind | None
    due: HoursLeft | None
    dates: Dates | None
    judged: tuple[Judged, ...]
    findings: tuple[Finding, ...]
    stake: Stake | None = None
    looked_at: bool = True

    @property
    def assumed_limit(self) -> bool:
        """Whether a figure of it rests on an assumed limit."""
        return any(judged.limit_assumed and judged.readings for judged in self.judged)


@dataclass(frozen=True, slots=True)
class SetOutlook:
    """First of several like parts to reach its limit.

    Parameters
    ----------
    part : PartKind
        The kind of part.
    places : tuple of Place
        The parts in the set.
    first : HoursLeft
        Hours until the first of them reaches its limit.
    dates : Dates or None
        The same as days.
    """

    part: PartKind
    places: tuple[Place, ...]
    first: HoursLeft
    dates: Dates | None


class Unlike(StrEnum):
    """Which two parts of unlike wear run together."""

    CHAIN_ON_WORN_SPROCKET = "chain_on_worn_sprocket"
    SPROCKET_ON_WORN_CHAIN = "sprocket_on_worn_chain"
    CHAIN_BESIDE_WORN_CHAIN = "chain_beside_worn_chain"


@dataclass(frozen=True, slots=True)
class Mismatch:
    """New and worn parts that run together, or would once what is booked is done.

    Parameters
    ----------
    unlike : Unlike
        Which two.
    newer, older : tuple of Place
        The new ones and the worn ones, on one side or both.
    apart : float
        How far their pitches lie apart, as a share [1]; of two chains the worn one's over the new one's.
    faster : tuple of (float, float)
        Times as fast the newer is taken to wear, from and to [1]; 1 and 1 where nothing is said of it.
    hours_h : tuple of (float, float) or None
        Its hours left at those rates, the fewer first [h].
    lost : Money or None
        What that is of its price; None without a price.
    fitted : bool
        Whether they run together now; False where what is booked would bring them together.
    said : Saying
        The same in words.
    """

    unlike: Unlike
    newer: tuple[Place, ...]
    older: tuple[Place, ...]
    apart: float
    faster: tuple[float, float]
    hours_h: tuple[float, float] | None
    lost: Money | None
    fitted: bool
    said: Saying


@dataclass(frozen=True, slots=True)
class Identity:
    """Which machine a running gear is from, and whether it is what is said of it. It moves no figure and no call.

    Parameters
    ----------
    kinds : tuple of (MachineKind, float)
        Chance of each kind by what is counted [1]; empty where too little is.
    clues : tuple of Saying
        What was counted.
    width : ShoeClass or None
        Of the shoes, by their width and the machine's mass; None where that cannot be told.
    against : tuple of Saying
        What is said of the machine and not borne out.
    odd : tuple of Odd
        Parts that do not belong.
    """

    kinds: tuple[tuple[MachineKind, float], ...] = ()
    clues: tuple[Saying, ...] = ()
    width: ShoeClass | None = None
    against: tuple[Saying, ...] = ()
    odd: tuple[Odd, ...] = ()


@dataclass(frozen=True, slots=True)
class Joins:
    """Why a plan does a job at one of its lay-ups and not at the job's own time.

    Parameters
    ----------
    layup : int
        Number of the lay-up, from 1.
    own_h : float or None
        When the job is due by itself, the first of its places [h]; None where that is past the end of the plan.
    early_h : float
        Hours by which it is done before that, below zero for after [h]; 0 where `own_h` is None.
    saves : float or None
        What it saves against its own time, or against leaving it out where that is past the end [currency]; below zero where it
        costs more. None where it cannot be done by itself.
    with_job : JobKind or None
        The job that brings it along by the trade's rule; None where money and hours decide.
    with_part : PartKind or None
        And of which part.
    """

    layup: int
    own_h: float | None
    early_h: float
    saves: float | None
    with_job: JobKind | None = None
    with_part: PartKind | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One job, due at one time, at one or more places of one kind.

    Parameters
    ----------
    kind : JobKind
        What is done.
    part : PartKind
        To what.
    places : tuple of Place
        Where.
    call : Call
        Stop: before it works again. Book: inside the booking window. Run: later.
    because : Saying
        Why.
    due : HoursLeft or None
        Hours until it is due; none at all for a stop; None when a finding alone asks for it.
    dates : Dates or None
        The same as days.
    chance_in_window : float
        Chance that it falls due inside the booking window [1].
    parts_needed : tuple of (Saying, int)
        What it takes and how many, such as 49 shoes and 196 shoe bolts.
    labour_h : float or None
        Labour [h]; None when not priced.
    price : Money or None
        Parts and labour; None when not priced.
    not_priced : tuple of Saying
        What the price list lacks.
    cautions : tuple of Caution
        Cautions that stand beside it.
    pieces : int
        Pieces over all places: joints, shoes, pads or bolts where they are counted, else places. 0 where not said.
    stake : Stake or None
        What the call is about; None for run.
    along : Saying or None
        Why it is done with the rest though nothing presses for it yet; None where it stands by itself.
    after : Saying or None
        What is looked at again after the first shift; None where nothing settles.
    joins : Joins or None
        In a plan: why it is done at its lay-up and not at its own time; None where that is the same.
    assumed_limit : bool
        Whether what asks for it rests on an assumed limit.
    """

    kind: JobKind
    part: PartKind
    places: tuple[Place, ...]
    call: Call
    because: Saying
    due: HoursLeft | None
    dates: Dates | None
    chance_in_window: float
    parts_needed: tuple[tuple[Saying, int], ...]
    labour_h: float | None
    price: Money | None
    not_priced: tuple[Saying, ...]
    cautions: tuple[Caution, ...]
    pieces: int = 0
    stake: Stake | None = None
    along: Saying | None = None
    after: Saying | None = None
    joins: Joins | None = None
    assumed_limit: bool = False


@dataclass(frozen=True, slots=True)
class PlanStop:
    """One stop of a plan.

    Parameters
    ----------
    at_h : float
        When, in hours from the verdict's own [h]; 0 for before it works again.
    earliest_h, latest_h : float
        Hours within which the whole plan costs at most 1 % more [h].
    day : datetime.date or None
        The day by the usual hours a week.
    jobs : tuple of Job
        What is done at it.
    """

    at_h: float
    earliest_h: float
    latest_h: float
    day: dt.date | None
    jobs: tuple[Job, ...]


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One job of a plan by the planner's own names.

    Parameters
    ----------
    component : str
        Short name of the place, such as "link/left"; its words in verdicts written before.
    job : str
        What is done to it, such as "replace".
    step : int
        When, in steps of the plan from 0.
    """

    component: str
    job: str
    step: int


@dataclass(frozen=True, slots=True)
class PlanMoney:
    """What a way of planning is paid for, as present worth; the figures add up to its cost.

    Parameters
    ----------
    jobs, stops, standing, losses : float
        Parts and labour; stops with the tracks opened; the machine standing for the work; limits passed and turns made late, as
        expected [currency].
    credit : float
        Life left at the end, taken off [currency].
    breaking : float
        New parts in place of those that break on the way, as expected [currency]; 0 in plans of before, whose jobs held it.
    """

    jobs: float
    stops: float
    standing: float
    losses: float
    credit: float
    breaking: float = 0.0

    @property
    def to_pay(self) -> float:
        """What the planned lay-ups cost [currency]."""
        return self.jobs + self.stops + self.standing

    @property
    def expected_loss(self) -> float:
        """What may be lost besides, as expected [currency]."""
        return self.losses + self.breaking


@dataclass(frozen=True, slots=True)
class PlanWay:
    """One way of planning, in figures.

    Parameters
    ----------
    name : Saying
        What it is called.
    cost : float
        Expected cost over the horizon, less the life left at its end [currency].
    stops : int
        Number of stops.
    standing_h : float or None
        Hours of labour the machine stands for [h]; None where the price list has none.
    limits_passed : float
        Limits passed in service on average [1].
    chance_any : float
        Chance that at least one is passed [1], parts taken as independent.
    money : PlanMoney or None
        What the cost is made of.
    """

    name: Saying
    cost: float
    stops: int
    standing_h: float | None
    limits_passed: float
    chance_any: float
    money: PlanMoney | None = None


@dataclass(frozen=True, slots=True)
class PlanChange:
    """A figure that would move the first stop if it were another.

    Parameters
    ----------
    what : Saying
        Which figure, and what it would be.
    first_stop_h : float or None
        When the first stop would be then [h]; None for no stop at all.
    """

    what: Saying
    first_stop_h: float | None


@dataclass(frozen=True, slots=True)
class MeasureWorth:
    """What it is worth to know one part better before deciding.

    Parameters
    ----------
    part : Saying
        Which part.
    worth : float
        The most a perfect reading could save, by expectation [currency].
    """

    part: Saying
    worth: float


@dataclass(frozen=True, slots=True)
class MachinePlan:
    """The cheapest set of stops for one machine.

    Parameters
    ----------
    horizon_h, step_h : float
        How far it reaches and in what steps [h].
    sell_at_h : float or None
        When the machine is sold [h]; None where no sale is planned.
    currency : str
        Code of every amount.
    cost, lower_bound : float
        Expected cost, and what no plan goes below [currency].
    proven : bool
        Whether nothing costs less.
    stops : tuple of PlanStop
        In order of hours; none where none pays.
    also : tuple of Job
        Jobs that fall due inside the booking window and are no part of the plan.
    beside : tuple of PlanWay
        The plan, then rules of thumb.
    changes : tuple of PlanChange
        Figures that would move the first stop.
    measuring : tuple of MeasureWorth
        Parts worth reading again, dearest first.
    next_walk_h : float
        The hour at which to walk round it again: where a reading is worth most before a job has to be settled [h].
    latest_walk_h : float
        Half the cautious hours until a part that is not renewed now reaches its limit: no later than this [h].
    walk_worth : float
        What that walk-round is worth by expectation [currency].
    walk_part : Saying or None
        The part to which most of that is owed; None where a reading settles nothing.
    below_new : float or None
        What a buyer who plans well would pay more if every planned part were new [currency]; None where that was not proven.
    idle : tuple of Saying
        Parts with no job up to the end.
    left_out : tuple of Saying
        Parts that are not planned for, and why.
    assumed : tuple of Saying
        What had to be assumed.
    tried : int
        Other figures tried for `changes` and `measuring`; 0 where they were not asked for.
    why : tuple of Saying
        What somebody from the trade may ask about it, answered each.
    rows : tuple of PlanRow
        Every job at its step, by which the plan can be costed again; none in verdicts of earlier versions.
    """

    horizon_h: float
    step_h: float
    sell_at_h: float | None
    currency: str
    cost: float
    lower_bound: float
    proven: bool
    stops: tuple[PlanStop, ...]
    also: tuple[Job, ...]
    beside: tuple[PlanWay, ...]
    changes: tuple[PlanChange, ...]
    measuring: tuple[MeasureWorth, ...]
    next_walk_h: float
    latest_walk_h: float
    walk_worth: float
    walk_part: Saying | None
    below_new: float | None
    idle: tuple[Saying, ...]
    left_out: tuple[Saying, ...]
    assumed: tuple[Saying, ...]
    tried: int
    why: tuple[Saying, ...] = ()
    rows: tuple[PlanRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Verdict:
    """The whole judgement of one machine.

    Parameters
    ----------
    machine : Machine
        The machine.
    gear : RunningGear
        Its running gear.
    as_of : datetime.date
        The day the judgement is for.
    from_service_h : float
        Service hours from which every figure of hours left counts [h].
    from_reason : Saying
        How those hours are known: read that day, or carried on from the last walk-round.
    call : Call
        The worst call on any part.
    headline : Saying
        The verdict in one sentence.
    next_due : HoursLeft or None
        Hours until the first part needs work, over all parts; None when nothing could be judged.
    next_due_dates : Dates or None
        The same as days.
    next_due_place : Place or None
        The part most likely to be that first one.
    next_due_job : JobKind or None
        Its job.
    money_now : Money or None
        Price of what is called stop; None without a price list.
    money_window : Money or None
        Price of what falls due inside the booking window, what is called stop included.
    not_priced : tuple of Saying
        What those figures leave out.
    parts : tuple of PartVerdict
        Every part, in walking order.
    sets : tuple of SetOutlook
        Roller sets.
    jobs : tuple of Job
        In the order they fall due.
    suspicions : tuple of Suspicion
        Readings that look wrong.
    remarks : tuple of Saying
        What to know about these figures: weak priors, missing limits, assumed ground.
    walk_rounds : tuple of WalkRound
        What it rests on.
    ground : GroundClass
        Usual ground: of hours past that no span covers, and of the hours to come where no mix is entered.
    utilisation : Utilisation or None
        Hours a week behind the days.
    call_rule : CallRule
        The rule behind the calls.
    window_h : float or None
        The booking window [h], as at 40 h a week where hours a week are not entered; None before anybody went round it.
    method : str
        Name of the method.
    version : str
        Version of pitchline.
    worth : Worth or None
        What the running gear is worth today; None without prices or anything to price.
    bid : Bid or None
        From the asking price to an offer; None without an asking price or a worth.
    plan : MachinePlan or None
        The cheapest set of stops; None where none was asked for.
    ground_fit : GroundSection or None
        Whether it suits its grounds; None in verdicts of a time before there was one.
    ground_to_come : GroundMix or None
        Shares of the hours to come over the grounds; None where none are entered.
    looked_at : tuple of (int, int) or None
        Parts read or looked over at the last walk-round, of how many; None in verdicts of earlier versions.
    read_on : datetime.date or None
        Day of the last walk-round; None in verdicts of earlier versions.
    carried_h : float
        Hours worked since, by hours a week [h].
    mismatches : tuple of Mismatch
        New parts beside worn ones, and what that does to hours and money.
    causes : Diagnosis or None
        Why it wears as it does; None where nothing speaks for any cause.
    identity : Identity or None
        Whether the running gear is what is said of it; None in a verdict of an earlier version.
    writing : Writing
        How numbers and days are written in its sentences, and therefore on its papers.
    """

    machine: Machine
    gear: RunningGear
    as_of: dt.date
    from_service_h: float
    from_reason: Saying
    call: Call
    headline: Saying
    next_due: HoursLeft | None
    next_due_dates: Dates | None
    next_due_place: Place | None
    next_due_job: JobKind | None
    money_now: Money | None
    money_window: Money | None
    not_priced: tuple[Saying, ...]
    parts: tuple[PartVerdict, ...]
    sets: tuple[SetOutlook, ...]
    jobs: tuple[Job, ...]
    suspicions: tuple[Suspicion, ...]
    remarks: tuple[Saying, ...]
    walk_rounds: tuple[WalkRound, ...]
    ground: GroundClass
    utilisation: Utilisation | None
    call_rule: CallRule
    window_h: float | None
    method: str
    version: str
    worth: Worth | None = None
    bid: Bid | None = None
    plan: MachinePlan | None = None
    ground_fit: GroundSection | None = None
    ground_to_come: GroundMix | None = None
    looked_at: tuple[int, int] | None = None
    read_on: dt.date | None = None
    carried_h: float = 0.0
    mismatches: tuple[Mismatch, ...] = ()
    causes: Diagnosis | None = None
    identity: Identity | None = None
    writing: Writing = PLAIN
