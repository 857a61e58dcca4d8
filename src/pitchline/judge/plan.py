"""The plan of stops of one machine: the cheapest one, rules of thumb beside it, what would change it, when to look again."""

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from pitchline.judge.instance import Bridged, Done, bridged
from pitchline.judge.jobs import jobs_of
from pitchline.judge.known import Known
from pitchline.judge.next_walk import next_walk
from pitchline.judge.parts import dates_of
from pitchline.judge.what_if import all_new, better_known, others
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.dates import day_when
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.instance import StopInstance
from pitchline.stops.jobs import parts_needed
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.planner import better, plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.settings import PlanSettings
from pitchline.stops.thumb import Compared, chances_passed, compared
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.jobs import Caution, JobKind, cautions_of
from pitchline.trade.parts import PartKind, Place
from pitchline.verdict import Job, MachinePlan, MeasureWorth, PlanChange, PlanRow, PlanStop, PlanWay

_RENEWS = (JobKind.REPLACE, JobKind.RESHOE, JobKind.RESHELL, JobKind.REBUILD)
_HARDLY = 0.005
ATTEMPTS = 2
"""How often our own search tries before the general solver is asked."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a plan is made from.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        Hours left of each part.
    prices : PriceList or None
        The yard's list.
    work : list of Work
        What the machine asks for.
    jobs : tuple of Job
        The same gathered into jobs.
    window_h : float or None
        The booking window [h].
    settings : PlanSettings
        How far ahead, and at what prices.

    References
    ----------
    Definition.
    """

    known: Known
    outlook: MachineOutlook | None
    prices: PriceList | None
    work: list[Work]
    jobs: tuple[Job, ...]
    window_h: float | None
    settings: PlanSettings


def machine_plan(asked: Asked, seconds_left: Callable[[], float]) -> MachinePlan:
    """The cheapest set of stops for one machine.

    Parameters
    ----------
    asked : Asked
        What it is made from.
    seconds_left : callable
        Gives the seconds that may still be used [s]: half of them for the plan itself, the rest for what would change it.

    Returns
    -------
    MachinePlan
        With its proof, or the bound it reached.

    Raises
    ------
    NotAllowedError
        No price list, no limit entered, or nothing at all that can be planned.

    References
    ----------
    See docs/explanation/plan-of-a-machine.md.
    """
    at_once = frozenset(item.place for item in asked.work if item.call is Call.STOP and item.job in _RENEWS)
    whole = bridged(asked.known, asked.outlook, asked.prices, asked.settings, at_once)
    half = seconds_left() / 2
    plan = _best(whole.instance, lambda: seconds_left() - half)
    new = _best(all_new(whole.instance), seconds_left)
    teller = _Teller(asked, whole, plan)
    changes, tried = _changes(whole, plan, asked, seconds_left)
    measuring, more = _measuring(whole, plan, asked, seconds_left)
    settings = asked.settings
    walk = next_walk(whole, plan, asked.outlook) if asked.outlook is not None else None
    return MachinePlan(
        horizon_h=settings.horizon_h,
        step_h=settings.step_h,
        sell_at_h=settings.sell_at_h,
        currency=asked.prices.currency if asked.prices is not None else "",
        cost=plan.expected_cost,
        lower_bound=plan.lower_bound,
        proven=plan.proven,
        stops=teller.stops(),
        also=teller.also(),
        beside=tuple(teller.way(row) for row in compared(whole.instance, plan)),
        changes=changes,
        measuring=measuring,
        next_walk_h=walk.best_h if walk is not None else 0.0,
        latest_walk_h=walk.latest_h if walk is not None else 0.0,
        walk_worth=walk.worth if walk is not None else 0.0,
        walk_part=walk.deciding if walk is not None else "",
        below_new=plan.expected_cost - new.expected_cost if new.proven else None,
        idle=tuple(part for part in plan.components if part not in {row.component for row in plan.plan}),
        left_out=whole.left_out,
        assumed=whole.assumed,
        tried=tried + more,
        rows=tuple(PlanRow(row.component, row.job, row.step) for row in plan.plan),
    )


def _best(instance: StopInstance, seconds_left: Callable[[], float]) -> StopPlan:
    """The plan of our own search; where its proof does not close soon, the better of it and the general solver's."""
    own = plan_stops(instance, "auto", seconds_left, ATTEMPTS)
    if own.proven or seconds_left() <= 0:
        return own
    return better(own, plan_stops(instance, "milp", seconds_left))


class _Teller:
    """A plan in the words of a verdict."""

    def __init__(self, asked: Asked, whole: Bridged, plan: StopPlan) -> None:
        self.asked, self.whole, self.plan = asked, whole, plan

    def stops(self) -> tuple[PlanStop, ...]:
        found = []
        for stop in self.plan.stops:
            rows = [row for row in self.plan.plan if row.step == stop.step]
            jobs = self._jobs(rows, stop.hour)
            found.append(PlanStop(stop.hour, stop.earliest_h, stop.latest_h, self._day(stop.hour), jobs))
        return tuple(found)

    def _day(self, hours_h: float) -> dt.date | None:
        weekly = self.asked.known.dossier.utilisation
        return day_when(self.asked.known.as_of, hours_h, weekly.usual) if weekly is not None else None

    def _jobs(self, rows: list[PlannedJob], hours_h: float) -> tuple[Job, ...]:
        groups: dict[tuple[JobKind, PartKind], list[tuple[Done, PlannedJob]]] = {}
        for row in rows:
            done = self.whole.done[row.component, row.job]
            if done is not None:
                groups.setdefault((done.kind, done.place.part), []).append((done, row))
        jobs = [self._job(kind, part, items, hours_h) for (kind, part), items in groups.items()]
        return tuple(sorted(jobs, key=lambda job: (-job.call.rank, list(PartKind).index(job.part))))

    def _job(self, kind: JobKind, part: PartKind, items: list[tuple[Done, PlannedJob]], hours_h: float) -> Job:
        asked, places = self.asked, tuple(sorted(done.place for done, _ in items))
        pieces = sum(done.pieces for done, _ in items)
        cost = job_cost(asked.prices, kind, part, len(places), pieces)
        due = self._due([row for _, row in items])
        call = self._call(places, hours_h)
        cautions = cautions_of(kind, part)
        if call is Call.STOP:
            cautions = (Caution.UNSAFE_MACHINE, *(c for c in cautions if c is not Caution.UNSAFE_MACHINE))
        when = (
            f"the first of them is due in about {due.middle:,.0f} h"
            if due is not None
            else "by then they have been renewed once, and wear anew"
        )
        return Job(
            kind=kind,
            part=part,
            places=places,
            call=call,
            because=f"Cheapest at this stop; {when}.",
            due=due,
            dates=dates_of(due, asked.known),
            chance_in_window=self._chance(kind, places, hours_h),
            parts_needed=parts_needed(kind, places, pieces, asked.known.dossier.gear),
            labour_h=cost.labour_h,
            price=cost.price,
            not_priced=(cost.not_priced,) if cost.not_priced else (),
            cautions=cautions,
            pieces=pieces,
        )

    def _due(self, rows: list[PlannedJob]) -> HoursLeft | None:
        """When the first of them is due that is still the part fitted now."""
        outlook = self.asked.outlook
        first = {row.component: row.step for row in reversed(self.plan.plan)}
        still = [row.component for row in rows if first[row.component] == row.step]
        members = [member for name in still for member in self.whole.members.get(name, ())]
        if outlook is None or not members:
            return None
        return min((outlook.parts[member].due for member in members), key=lambda due: due.middle)

    def _chance(self, kind: JobKind, places: tuple[Place, ...], hours_h: float) -> float:
        """Chance of being due inside the booking window, by the calls."""
        mine = [item.chance for item in self.asked.work if item.job is kind and item.place in places]
        return max(mine, default=1.0 if hours_h == 0 else 0.0)

    def _call(self, places: tuple[Place, ...], hours_h: float) -> Call:
        stopped = {item.place for item in self.asked.work if item.call is Call.STOP}
        if hours_h == 0 and stopped & set(places):
            return Call.STOP
        return Call.BOOK if hours_h <= (self.asked.window_h or 0.0) else Call.RUN

    def also(self) -> tuple[Job, ...]:
        """Jobs called stop or book at places the plan has no say in, and what was seen that it would leave for later."""
        planned = {done.place for done in self.whole.done.values() if done is not None}
        beside = tuple(
            job
            for job in self.asked.jobs
            if job.call is not Call.RUN
            and (job.kind not in (*_RENEWS, JobKind.TURN) or not planned & set(job.places))
        )
        return (*beside, *jobs_of(self._seen_and_left(planned), self.asked.known, None, self.asked.prices))

    def _seen_and_left(self, planned: set[Place]) -> list[Work]:
        """Findings that ask for a part the plan renews only after the booking window."""
        window_h = self.asked.window_h or 0.0
        soon = {
            done.place
            for row in self.plan.plan
            if row.hour <= window_h and (done := self.whole.done[row.component, row.job]) is not None
        }
        return [
            item
            for item in self.asked.work
            if item.part_row is None
            and item.call is Call.BOOK
            and item.job in _RENEWS
            and item.place in planned - soon
        ]

    def way(self, row: Compared) -> PlanWay:
        labour = [self._labour_h(one) for one in row.plan]
        known = [hours for hours in labour if hours is not None]
        names = self.plan.components
        done = {name: [(one.job, one.step) for one in row.plan if one.component == name] for name in names}
        now = [name for name in self.whole.forced if done[name] and done[name][0][1] == 0]
        as_said = StopPlan(row.expected_cost, row.expected_cost, (), row.plan, names, row.name)
        chances = chances_passed(_renewed_now(self.whole.instance, now), as_said)
        return PlanWay(
            row.name,
            recost(self.whole.unforced or self.whole.instance, done),
            row.stops,
            sum(known) if known or not labour else None,
            sum(chances),
            1 - math.prod(1 - chance for chance in chances),
        )

    def _labour_h(self, row: PlannedJob) -> float | None:
        done = self.whole.done[row.component, row.job]
        if done is None:
            return None
        return job_cost(self.asked.prices, done.kind, done.place.part, 1, done.pieces).labour_h


def _renewed_now(instance: StopInstance, names: list[str]) -> StopInstance:
    """The same for counting limits passed: what is renewed before it works again has passed none in service."""
    components = []
    for part in instance.components:
        if part.name in names:
            first = part.stages[0]
            first = replace(first, prob_limit_by_step=(0.0, *first.prob_limit_by_step[1:]))
            part = replace(part, stages=(first, *part.stages[1:]))
        components.append(part)
    return replace(instance, components=tuple(components))


def _first_h(plan: StopPlan) -> float | None:
    return plan.stops[0].hour if plan.stops else None


def _changes(
    whole: Bridged, plan: StopPlan, asked: Asked, seconds_left: Callable[[], float]
) -> tuple[tuple[PlanChange, ...], int]:
    """Other figures, one at a time, that would move the first stop out of the hours within which it hardly matters."""
    left = seconds_left()
    found, tried, end = [], 0, left / 2 if math.isfinite(left) else 0.0
    for other in others(whole, plan, asked.outlook, asked.prices):
        if seconds_left() <= end:
            break
        first = _first_h(_best(other.instance, lambda: max(seconds_left() - end, 0.0)))
        tried += 1
        if _moved(plan, first):
            found.append(PlanChange(other.words, first))
    return tuple(found), tried


def _moved(plan: StopPlan, first_h: float | None) -> bool:
    if not plan.stops or first_h is None:
        return bool(plan.stops) != (first_h is not None)
    return not plan.stops[0].earliest_h <= first_h <= plan.stops[0].latest_h


def _measuring(
    whole: Bridged, plan: StopPlan, asked: Asked, seconds_left: Callable[[], float]
) -> tuple[tuple[MeasureWorth, ...], int]:
    """What knowing one part for sure would save, for the parts of the first two stops."""
    found, tried = [], 0
    for part, mixed, cases in better_known(whole, plan, asked.outlook):
        if seconds_left() <= 0:
            break
        now = _cost(mixed, seconds_left)
        known = sum(weight * _cost(instance, seconds_left) for weight, instance in cases)
        tried += 1 + len(cases)
        if now - known > _HARDLY * abs(plan.expected_cost):
            found.append(MeasureWorth(part, now - known))
    return tuple(sorted(found, key=lambda one: -one.worth)), tried


def _cost(instance: StopInstance, seconds_left: Callable[[], float]) -> float:
    return _best(instance, seconds_left).expected_cost
