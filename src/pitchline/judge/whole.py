"""One machine in, one verdict out.

See docs/explanation/calls.md.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from pitchline import __version__
from pitchline.ground.section import GroundSection
from pitchline.judge.age import go_round_first
from pitchline.judge.course import courses_of, with_courses
from pitchline.judge.doubts import Doubts, doubts_of
from pitchline.judge.figures import judged_at
from pitchline.judge.ground_fit import ground_section
from pitchline.judge.instance import bridged
from pitchline.judge.jobs import jobs_of, money_figures
from pitchline.judge.machine_by_day import Known, known_by
from pitchline.judge.mismatch import mismatches
from pitchline.judge.parts import dates_of, findings_at, machine_call, part_verdict
from pitchline.judge.plan import machine_plan
from pitchline.judge.plan_by_hand import Footing
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.remarks import headline, remarks
from pitchline.judge.turns import TurnGain, turns_told, with_turns_that_pay
from pitchline.judge.whose_gear import whose_gear
from pitchline.judge.why_so import causes_of
from pitchline.judge.worth import running_gear_worth
from pitchline.money.bid import with_asking
from pitchline.money.prices import PriceList, own_prices
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.learned import Learned
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import LifeOutlook, MachineOutlook, is_turned_next, machine_outlook
from pitchline.stops.adjusting import TrackSeen, setting_work
from pitchline.stops.along import taken_along
from pitchline.stops.guiding import with_guiding
from pitchline.stops.pointless import without_pointless
from pitchline.stops.settings import PlanSettings
from pitchline.stops.work import Work, findings_work, wear_work
from pitchline.trade.asking import AskingPrice
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import FindingKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import way_in_force
from pitchline.verdict import METHOD, SetOutlook, Verdict
from pitchline.wear.history import newest_reading, standing

_SETS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)


def judge(
    dossier: Dossier,
    prices: PriceList | None = None,
    as_of: dt.date | None = None,
    units: UnitSystem = UnitSystem.METRIC,
    seed: int = 0,
    learned: Learned | None = None,
    asking: float | None = None,
    planning: PlanSettings | None = None,
    what_ifs: bool = True,
    ground: Callable[[Dossier], GroundSection] = ground_section,
) -> Verdict:
    """The whole judgement of one machine.

    Parameters
    ----------
    dossier : Dossier
        Everything known about it, its walk-rounds included.
    prices : PriceList or None
        The yard's prices; None leaves the jobs unpriced. Those of a gear list entry count where `own_prices` chose them before.
    as_of : datetime.date or None
        The day the judgement is for; None takes the day of the last walk-round, or of work done since. Later ones are left out.
    units : UnitSystem
        Units of lengths inside sentences.
    seed : int
        Seed of the sets of the model's constants; the same seed gives the same verdict.
    learned : Learned or None
        Constants learned from the yard's readings; None starts from typical lives alone.
    asking : float or None
        What is asked for the whole machine, without tax, in the price list's currency [currency], above 0; None takes what the
        dossier says, where that is in this currency. Gives a bid and caps the running gear's worth.
    planning : PlanSettings or None
        What a plan of stops is asked for; None plans none.
    what_ifs : bool
        Whether the plan tells what would change it, too. A page asks without first, and with when the reader wants to know.

    ground : callable
        Gives the section on the ground, which rests on the machine file alone: for whoever has it already.

    Raises
    ------
    NotAllowedError
        There is no walk-round by that day, an asking price that is not above 0, or a plan without prices or limits.

    References
    ----------
    See docs/explanation/outlook.md and docs/explanation/calls.md.
    """
    prices = own_prices(prices, dossier.machine)
    found = _weighed(dossier, prices, as_of, units, seed, learned)
    known, outlook, doubts, asked, work = found.known, found.outlook, found.doubts, found.asked, found.work
    dossier, window_h = known.dossier, known.window_h
    by_place = {(part.life.place, part.life.measurand): part for part in outlook.parts} if outlook else {}
    courses = courses_of(outlook, known.now_h, learned)
    parts = tuple(
        part_verdict(
            place,
            known,
            with_courses(judged_at(place, known, by_place, learned, doubts), courses),
            asked,
            work,
        )
        for place in dossier.gear.places()
    )
    jobs = jobs_of(work, known, outlook, prices)
    now, window, not_priced = money_figures(work, prices)
    worth, offer = running_gear_worth(work, known, outlook, prices), None
    if worth is not None:
        asked_now = dossier.asking if asking is None else AskingPrice(asking, worth.as_new.currency)
        worth, offer = with_asking(worth, asked_now)
    next_due, at = _next_due(outlook)
    old = go_round_first(known)
    plan = None
    if planning is not None:
        plan = machine_plan(_plan_inputs(found, prices, planning), what_ifs)
    next_work = next((item for item in asked if at is not None and item.part_row == at), None)
    return Verdict(
        machine=dossier.machine,
        gear=dossier.gear,
        as_of=known.as_of,
        from_service_h=known.now_h,
        from_reason=known.how,
        call=machine_call(parts, too_old=bool(old)),
        headline=headline(parts, jobs, dossier.call_rule, next_due, old),
        next_due=next_due,
        next_due_dates=dates_of(next_due, known),
        next_due_place=next_work.place if next_work else None,
        next_due_job=next_work.job if next_work else None,
        money_now=now,
        money_window=window,
        not_priced=not_priced,
        parts=parts,
        sets=_sets(outlook, known),
        jobs=jobs,
        suspicions=known.suspicions,
        remarks=(
            *remarks(known, parts, outlook, learned),
            *(_other_currency(dossier, prices) if asking is None else ()),
        ),
        walk_rounds=dossier.walk_rounds,
        ground=dossier.usual_ground,
        utilisation=dossier.utilisation,
        call_rule=dossier.call_rule,
        window_h=window_h,
        method=METHOD,
        version=__version__,
        worth=worth,
        bid=offer,
        plan=plan,
        ground_fit=ground(dossier),
        ground_to_come=dossier.ground_to_come,
        mismatches=mismatches(known, parts, work, prices),
        causes=causes_of(known, parts, prices),
        identity=whose_gear(known),
        looked_at=(sum(part.looked_at for part in parts), len(parts)),
        read_on=known.read_on,
        carried_h=known.carried_h or 0.0,
        writing=replace(way_in_force(), units=units),
    )


@dataclass(frozen=True, slots=True)
class _Weighed:
    """What a machine asks for and what that was weighed from; `paying` is the outlook with bushes turned only where it pays."""

    known: Known
    outlook: MachineOutlook | None
    paying: MachineOutlook | None
    doubts: Doubts
    asked: list[Work]
    work: list[Work]


def _weighed(
    dossier: Dossier,
    prices: PriceList | None,
    as_of: dt.date | None,
    units: UnitSystem,
    seed: int,
    learned: Learned | None,
) -> _Weighed:
    known = known_by(dossier, as_of)
    mix = known.dossier.mix_to_come
    lives = lives_of(known.dossier, known.now_h, known.held)
    outlook = machine_outlook(lives, mix, seed=seed, learned=learned) if lives.lives else None

    def without(readings: frozenset[tuple[dt.date, Reading]]) -> MachineOutlook:
        others = lives_of(known.dossier, known.now_h, known.held | readings)
        return machine_outlook(others, mix, seed=seed, learned=learned)

    doubts = doubts_of(known, outlook, without)
    paying, gains = with_turns_that_pay(outlook, known.dossier.gear, prices)
    asked = work_of(known, outlook, known.window_h, units, gains, doubts)
    return _Weighed(known, outlook, paying, doubts, asked, taken_along(without_pointless(asked)))


def _plan_inputs(found: _Weighed, prices: PriceList | None, planning: PlanSettings) -> PlanInputs:
    return PlanInputs(found.known, found.paying, prices, found.work, found.known.window_h, planning)


def footing_of(
    dossier: Dossier,
    prices: PriceList | None,
    planning: PlanSettings,
    as_of: dt.date | None = None,
    units: UnitSystem = UnitSystem.METRIC,
    seed: int = 0,
    learned: Learned | None = None,
) -> Footing:
    """What the plan that `judge` makes of the same arguments is reckoned from.

    Parameters
    ----------
    dossier : Dossier
        Everything known about the machine.
    prices : PriceList or None
        The yard's prices.
    planning : PlanSettings
        What the plan is asked for.
    as_of : datetime.date or None
        The day of the judgement; None takes the day of the last walk-round, or of work done since.
    units : UnitSystem
        Units of lengths inside sentences.
    seed : int
        Seed of the sets of the model's constants.
    learned : Learned or None
        Constants learned from the yard's readings.

    Returns
    -------
    Footing
        The instance without the loss that makes every plan renew what must not work on.

    Raises
    ------
    NotAllowedError
        There is no walk-round by that day, or no prices, limits or part to plan for.
    """
    prices = own_prices(prices, dossier.machine)
    found = _weighed(dossier, prices, as_of, units, seed, learned)
    whole = bridged(_plan_inputs(found, prices, planning))
    return Footing(whole.plain, tuple(sorted(whole.forced)))


def _other_currency(dossier: Dossier, prices: PriceList | None) -> tuple[Saying, ...]:
    if dossier.asking is None or prices is None or dossier.asking.currency == prices.currency:
        return ()
    return (saying("remark.other_currency", asking=dossier.asking.currency, prices=prices.currency),)


def work_of(
    known: Known,
    outlook: MachineOutlook | None,
    window_h: float,
    units: UnitSystem,
    gains: Mapping[Side, TurnGain],
    doubts: Doubts | None = None,
) -> list[Work]:
    """What a machine asks for, by wear, by what was seen and by its settings.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        Hours left of each part.
    window_h : float
        The booking window [h].
    units : UnitSystem
        Units of the sentences.
    gains : mapping of Side to TurnGain
        What a turn gains, on sides whose bushes are on their first face.
    doubts : dict or None
        Newest readings that are not understood, by place and quantity.

    Returns
    -------
    list of Work
        In no order. What was not read of the part now fitted asks for nothing.
    """
    work = []
    if outlook is not None:
        chances = outlook.chances_due(window_h)
        turnable = {side for side, gain in gains.items() if gain.pays}
        for row, part in enumerate(outlook.parts):
            life = part.life
            doubted = (doubts or {}).get((life.place, life.measurand))
            if life.traces or doubted is not None:
                side_turnable, chance = life.place.side in turnable, float(chances[row])
                work.append(wear_work(known.dossier, row, part, side_turnable, chance, window_h, doubted))
        work = with_guiding(work, outlook, known.dossier.gear.bottom_rollers_per_side)
        work = turns_told(work, gains, outlook, window_h, known.dossier.call_rule.book_chance)
    for place in known.dossier.gear.places():
        work += findings_work(findings_at(place, known), known.dossier)
    settings = _settings(known)
    for side in (Side.LEFT, Side.RIGHT):
        work += setting_work(settings, known.dossier, side, _track_seen(side, known, outlook, gains))
    return work


def _settings(known: Known) -> list[Reading]:
    """Sag and adjuster as the last walk-round found them, or as they were set since."""
    read_on, held = known.read_on, known.held
    found = [
        newest_reading(known.dossier, place, measurand, known.now_h)
        for place in known.dossier.gear.places()
        for measurand in measurands_of(place.part)
        if MEASURANDS[measurand].role is Role.SETTING
    ]
    return [one[0] for one in found if one is not None and one[1] >= read_on and (one[1], one[0]) not in held]


def _track_seen(
    side: Side, known: Known, outlook: MachineOutlook | None, gains: Mapping[Side, TurnGain]
) -> TrackSeen:
    """What bears on one side's sag and adjuster: stretch, a turn to come, packed soil."""
    findings = standing(known.dossier, known.dossier.walk_rounds[-1])
    packed = tuple(
        finding.place
        for finding in findings
        if finding.kind is FindingKind.PACKED_WITH_SOIL and finding.place.side is side
    )
    limit = known.dossier.limit_of(PartKind.CHAIN, Measurand.PITCH)
    mine = [part for part in outlook.parts if part.life.place.side is side] if outlook is not None else []
    pitch = next((part.life for part in mine if part.life.measurand is Measurand.PITCH and part.life.traces), None)
    return TrackSeen(
        pitch.traces[-1].reading.value_m if pitch is not None else None,
        limit.new_m if limit is not None else None,
        limit.limit_m if limit is not None else None,
        side in gains and gains[side].pays,
        packed,
    )


def _next_due(outlook: MachineOutlook | None) -> tuple[HoursLeft | None, int | None]:
    """Hours until the first part that was read is due, and the row of the likeliest."""
    if outlook is None:
        return None, None
    read = [
        row
        for row, part in enumerate(outlook.parts)
        if part.life.traces and not _reverse_before_turn(part, outlook)
    ]
    if not read:
        return None, None
    first = outlook.first_due(read)
    return first, min(read, key=lambda row: (outlook.parts[row].due.middle, outlook.parts[row].due.cautious))


def _reverse_before_turn(part: LifeOutlook, outlook: MachineOutlook) -> bool:
    """The face that does not bear yet is not waited for."""
    same: list[Place] = [other.life.place for other in outlook.parts if is_turned_next(other.life)]
    return part.life.measurand is Measurand.BUSH_OD_REVERSE and part.life.place in same


def _sets(outlook: MachineOutlook | None, known: Known) -> tuple[SetOutlook, ...]:
    if outlook is None:
        return ()
    found = []
    for part in _SETS:
        rows = [
            row
            for row, one in enumerate(outlook.parts)
            if one.life.place.part is part and one.life.measurand is Measurand.TREAD_DIAMETER
        ]
        rows = [row for row in rows if outlook.parts[row].life.traces]
        if len(rows) > 1:
            first = outlook.first_at_limit(rows)
            places = tuple(outlook.parts[row].life.place for row in rows)
            found.append(SetOutlook(part, places, first, dates_of(first, known)))
    return tuple(found)
