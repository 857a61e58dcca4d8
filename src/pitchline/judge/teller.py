"""A machine's plan in the words of a verdict: its stops and jobs, and what it costs beside other ways of planning.

See docs/explanation/plan-of-a-machine.md.
"""

import datetime as dt
import math
from dataclasses import replace

from pitchline.judge.bridged import Bridged, Done
from pitchline.judge.instance import holds_a_plan
from pitchline.judge.jobs import in_order, jobs_of
from pitchline.judge.joining import joins
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.plan_money import money_of
from pitchline.money.cost import job_cost
from pitchline.outlook.dates import day_when, working_day
from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.pointless import swallowed_by
from pitchline.stops.recost import recost
from pitchline.stops.thumb import Compared, chances_passed
from pitchline.stops.work import Work, by_rule
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.saying import Saying, saying, then
from pitchline.verdict import Job, PlanStop, PlanWay

CALLS_ASIDE = saying("way.calls_aside")
"""Name of the cheapest plan that is not held to what the verdict books."""


class Teller:
    """A plan in the words of a verdict."""

    def __init__(self, asked: PlanInputs, whole: Bridged, plan: StopPlan) -> None:
        self.asked, self.whole, self.plan = asked, whole, plan

    def stops(self) -> tuple[PlanStop, ...]:
        """The lay-ups with their jobs, each with the verdict's own call."""
        return tuple(
            PlanStop(
                stop.hour, stop.earliest_h, stop.latest_h, self._day(stop.hour), self._jobs(number, stop.step)
            )
            for number, stop in enumerate(self.plan.stops, 1)
        )

    def _day(self, hours_h: float) -> dt.date | None:
        weekly, as_of = self.asked.known.dossier.utilisation, self.asked.known.as_of
        day = day_when(as_of, hours_h, weekly.usual) if weekly is not None else None
        return working_day(day, as_of) if day is not None else None

    def _jobs(self, number: int, step: int) -> tuple[Job, ...]:
        """Jobs of one lay-up; on parts renewed before, apart from those on the parts now fitted."""
        rows = self._done_at(step)
        first = {row: done for row, done in rows.items() if self._is_first(row)}
        jobs = []
        for some in (first, {row: done for row, done in rows.items() if row not in first}):
            items = [self._work(row, done) for row, done in some.items()]
            for job in jobs_of(items, self.asked.known, self.asked.outlook, self.asked.prices, together=True):
                mine = [row for row, done in some.items() if done.kind is job.kind and done.place in job.places]
                # What is called is done when it is called; only for the rest there is a time of its own to tell.
                told = None if job.call.asks else joins(self.whole, self.plan, number, mine, job.due)
                jobs.append(replace(job, joins=told))
        return tuple(sorted(jobs, key=in_order))

    def _done_at(self, step: int) -> dict[PlannedJob, Done]:
        """The planner's rows of one lay-up with what each is on the machine; none where another part's job stands for it."""
        mine = {row: self.whole.done[row.component, row.job] for row in self.plan.plan if row.step == step}
        return {row: done for row, done in mine.items() if done is not None}

    def _is_first(self, row: PlannedJob) -> bool:
        """Whether a job is on the part fitted now."""
        return row == next(one for one in self.plan.plan if one.component == row.component)

    def _work(self, row: PlannedJob, done: Done) -> Work:
        """What a job of the plan is in the verdict; what the verdict does not ask for is run until then."""
        if not self._is_first(row):
            because = saying("wear.anew")
            return Work(done.kind, done.place, done.place, Call.RUN, because, done.pieces, chance=0.0)
        for item in self.asked.work:
            if (item.job, item.place) == (done.kind, done.place):
                return replace(item, pieces=done.pieces)
        parts = self.asked.outlook.parts if self.asked.outlook is not None else ()
        member = min(self.whole.members[row.component], key=lambda one: parts[one].to_limit.middle)
        due = parts[member].to_limit
        because, now = saying("wear.due", due_h=due.middle), due.chance_now
        because = then(because, by_rule(parts[member].life.line.limit))
        return Work(done.kind, done.place, done.place, Call.RUN, because, done.pieces, member, due, now)

    def also(self) -> tuple[Job, ...]:
        """Jobs of the verdict at places the plan has no say in.

        Returns
        -------
        tuple of Job
            To be done at the first lay-up where they are due; none that what is renewed there makes pointless.
        """
        items = [item for item in self._unplanned() if not self._made_pointless(item)]
        return jobs_of(items, self.asked.known, self.asked.outlook, self.asked.prices)

    def pointless(self) -> tuple[Work, ...]:
        """Jobs of the verdict that what is renewed at the first lay-up makes pointless."""
        return tuple(item for item in self._unplanned() if self._made_pointless(item))

    def _unplanned(self) -> list[Work]:
        return [
            item
            for item in self.asked.work
            if (item.call.asks or (item.along and item.due is None))
            and not (holds_a_plan(item) and self._is_planned(item))
        ]

    def _is_planned(self, item: Work) -> bool:
        turns = item.job is JobKind.TURN
        return any(
            done is not None and done.place == item.place and (done.kind is JobKind.TURN) is turns
            for done in self.whole.done.values()
        )

    def _made_pointless(self, item: Work) -> bool:
        """Whether something the first lay-up renews anyway comes with it; only where that is soon enough."""
        first = self.plan.stops[:1]
        if not first or first[0].hour > self.asked.window_h or item.call is Call.STOP:
            return False
        there = [self._work(row, done) for row, done in self._done_at(first[0].step).items()]
        return swallowed_by(item, [replace(one, call=Call.STOP) for one in there]) is not None

    def way(self, row: Compared, name: Saying | None = None) -> PlanWay:
        """One way of planning in figures.

        Parameters
        ----------
        row : Compared
            The way.
        name : Saying or None
            What it is called; None takes its own name.

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
        as_said = StopPlan(row.expected_cost, row.expected_cost, (), row.plan, names, row.name.code)
        chances = chances_passed(renewed_now(self.whole.instance, now), as_said)
        return PlanWay(
            name or row.name,
            recost(self.whole.plain, done),
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
