"""A machine's plan in the words of a verdict: its stops and jobs, and what it costs beside other ways of planning.

See docs/explanation/plan-of-a-machine.md.
"""

import datetime as dt
import math
from dataclasses import replace

from pitchline.judge.bridged import Bridged, Done
from pitchline.judge.jobs import jobs_of
from pitchline.judge.parts import dates_of
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.plan_money import money_of
from pitchline.money.cost import job_cost
from pitchline.outlook.dates import day_when
from pitchline.outlook.hours_left import HoursLeft
from pitchline.stops.instance import StopInstance
from pitchline.stops.jobs import check_after, parts_needed
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.recost import recost
from pitchline.stops.thumb import Compared, chances_passed
from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import RENEWS, Caution, JobKind, cautions_of
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import show_hours
from pitchline.verdict import Job, PlanStop, PlanWay


class Teller:
    """A plan in the words of a verdict."""

    def __init__(self, asked: PlanInputs, whole: Bridged, plan: StopPlan) -> None:
        self.asked, self.whole, self.plan = asked, whole, plan

    def stops(self) -> tuple[PlanStop, ...]:
        """The stops with their jobs."""
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
        call = self._call(kind, places, hours_h, due)
        cautions = cautions_of(kind, part, asked.known.dossier.gear)
        if call is Call.STOP:
            cautions = (Caution.UNSAFE_MACHINE, *cautions)
        return Job(
            kind=kind,
            part=part,
            places=places,
            call=call,
            because=self._because(call, places, due),
            due=due,
            dates=dates_of(due, asked.known),
            chance_in_window=self._chance(kind, places, hours_h),
            parts_needed=parts_needed(kind, places, pieces, asked.known.dossier.gear),
            labour_h=cost.labour_h,
            price=cost.price,
            not_priced=(cost.not_priced,) if cost.not_priced else (),
            cautions=cautions,
            pieces=pieces,
            stake=self._stake(call, places),
            after=check_after(kind, part),
        )

    def _stake(self, call: Call, places: tuple[Place, ...]) -> Stake | None:
        """What a stop is about, as the verdict says; nothing for what the plan puts together."""
        stakes = [
            item.stake for item in self.asked.work if item.call is call is Call.STOP and item.place in places
        ]
        return Stake.UNSAFE if Stake.UNSAFE in stakes else next(iter(stakes), None)

    def _because(self, call: Call, places: tuple[Place, ...], due: HoursLeft | None) -> str:
        if call is Call.STOP:
            return next(item.because for item in self.asked.work if item.call is call and item.place in places)
        if due is None:
            return "Cheapest at this stop; by then they have been renewed once, and wear anew."
        return f"Cheapest at this stop; the first of them is due in about {show_hours(due.middle)}."

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

    def _call(self, kind: JobKind, places: tuple[Place, ...], hours_h: float, due: HoursLeft | None) -> Call:
        """The verdict's own call where it has one on this job and the part fitted now; else by when the plan puts it."""
        stopped = {item.place for item in self.asked.work if item.call is Call.STOP}
        if hours_h == 0 and stopped & set(places):
            return Call.STOP
        booked = {item.place for item in self.asked.work if due and item.call.asks and item.job is kind}
        soon = hours_h <= self.asked.window_h
        return Call.BOOK if soon or booked & set(places) else Call.RUN

    def also(self) -> tuple[Job, ...]:
        """Jobs called stop or book at places the plan has no say in, and what was seen that it would leave for later.

        Returns
        -------
        tuple of Job
            To be done at the first stop where they are due.
        """
        planned = {done.place for done in self.whole.done.values() if done is not None}
        beside = tuple(
            job
            for job in self.asked.jobs
            if (job.call.asks or (job.along and job.due is None))
            and (job.kind not in (*RENEWS, JobKind.TURN) or not planned & set(job.places))
        )
        return (*beside, *jobs_of(self._seen_and_left(planned), self.asked.known, None, self.asked.prices))

    def _seen_and_left(self, planned: set[Place]) -> list[Work]:
        """Findings that ask for a part the plan renews only after the booking window."""
        window_h = self.asked.window_h
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
            and item.job in RENEWS
            and item.place in planned - soon
        ]

    def way(self, row: Compared) -> PlanWay:
        """One way of planning in figures.

        Returns
        -------
        PlanWay
            Without the loss that makes every plan renew what must not work on.
        """
        labour = [self._labour_h(one) for one in row.plan]
        known = [hours for hours in labour if hours is not None]
        names = self.plan.components
        done = {name: [(one.job, one.step) for one in row.plan if one.component == name] for name in names}
        now = [name for name in self.whole.forced if done[name] and done[name][0][1] == 0]
        as_said = StopPlan(row.expected_cost, row.expected_cost, (), row.plan, names, row.name)
        chances = chances_passed(renewed_now(self.whole.instance, now), as_said)
        return PlanWay(
            row.name,
            recost(self.whole.unforced or self.whole.instance, done),
            row.stops,
            sum(known) if known or not labour else None,
            sum(chances),
            1 - math.prod(1 - chance for chance in chances),
            money_of(self.asked.prices, self.whole, done),
        )

    def _labour_h(self, row: PlannedJob) -> float | None:
        done = self.whole.done[row.component, row.job]
        if done is None:
            return None
        return job_cost(self.asked.prices, done.kind, done.place.part, 1, done.pieces).labour_h


def renewed_now(instance: StopInstance, names: list[str]) -> StopInstance:
    """The same for counting limits passed: what is renewed before it works again has passed none in service.

    Returns
    -------
    StopInstance
        For counting only.
    """
    components = []
    for part in instance.components:
        if part.name in names:
            first = part.stages[0]
            first = replace(first, prob_limit_by_step=(0.0, *first.prob_limit_by_step[1:]))
            part = replace(part, stages=(first, *part.stages[1:]))
        components.append(part)
    return replace(instance, components=tuple(components))
