"""What the work plan's page shows, put together from a stored plan; no figure is computed here."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from pitchline.desk.drawing import SMALL, WIDE, inline
from pitchline.desk.workplan.papers import offered
from pitchline.judge.plan_by_hand import last_step, steps_of
from pitchline.money.prices import PriceList
from pitchline.papers import names, words
from pitchline.papers.order_told import order_lines
from pitchline.papers.plan_words import not_planned, paid_said, plan_notes, priced_alone_said
from pitchline.papers.stop import PlannedStop, planned_stops
from pitchline.papers.story_work import told_jobs
from pitchline.picture.plan_strip import plan_strip
from pitchline.picture.strip import strip_svg
from pitchline.trade.calls import Call
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.verdict import MachinePlan, PlanWay, Verdict
from pitchline.words import counted, say, translated
from pitchline.words.speaking import in_a_hundred


@dataclass(frozen=True, slots=True)
class WayLine:
    """One way of planning."""

    name: str
    cost: str
    more: str
    stops: str
    standing: str
    passed: str
    any_chance: str


@dataclass(frozen=True, slots=True)
class StopLine:
    """One stop with its work.

    Parameters
    ----------
    number : int
        From 1.
    when, moves, money, beside : str
        When, between which hours it hardly matters, its money, and what the list has beside its jobs.
    jobs : list of dict
        As the papers tell them.
    order : list of (str, str, str)
        Its parts: how many, what, what of them is on the shelf; empty where nobody keeps one.
    """

    number: int
    when: str
    moves: str
    money: str
    beside: str
    jobs: list[dict[str, object]]
    order: list[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class RailStop:
    """One stop that can be moved.

    Parameters
    ----------
    number, step, cheapest_step : int
        Which, where it is, where it is cheapest.
    hours, cheapest_h : str
        The same in hours, as typed.
    jobs : str
        What is done at it.
    typed, about : str
        Hours that were typed and refused; the part a refusal is about, where it was moved. Empty where nothing was.
    """

    number: int
    step: int
    cheapest_step: int
    hours: str
    cheapest_h: str
    jobs: str
    typed: str = ""
    about: str = ""

    @property
    def name(self) -> str:
        """Of its field."""
        return f"stop{self.number}"

    @property
    def called(self) -> str:
        """What a refusal calls its field."""
        return phrase("lay-up {n}", n=self.number)


@dataclass(frozen=True, slots=True)
class PlanPage:
    """A plan as its page shows it.

    Parameters
    ----------
    head, proof : str
        Stops and cost in a sentence; how surely nothing is cheaper.
    made_of : str
        What the cost is made of; empty where it was not split.
    strip, strip_small : SafeString
        The drawing for a desk and for a phone.
    stops : tuple of StopLine
        In order.
    ways : tuple of WayLine
        The plan and rules of thumb.
    after, assumed : list of str
        What would move it and when to look again; what it rests on.
    rail : tuple of RailStop
        For moving.
    step_h, last_step : str, int
        Length of a step and the last one.
    papers : tuple of (str, str)
        File names and names of the papers that can be made; none without a stop.
    """

    head: str
    proof: str
    made_of: str
    strip: SafeString
    strip_small: SafeString
    stops: tuple[StopLine, ...]
    ways: tuple[WayLine, ...]
    after: list[str]
    assumed: list[str]
    rail: tuple[RailStop, ...]
    step_h: str
    last_step: int
    papers: tuple[tuple[str, str], ...]


def plan_page(
    verdict: Verdict,
    plan: MachinePlan,
    prices: PriceList | None,
    cheapest: MachinePlan,
    steps: Sequence[int],
    on: dt.date,
    shelf: Callable[[Sequence[PlannedStop]], Sequence[PlannedStop]],
) -> PlanPage:
    """A plan, and where its stops could be moved from.

    Parameters
    ----------
    verdict : Verdict
        Holds the plan that is shown, moved or not.
    plan : MachinePlan
        The same plan.
    prices : PriceList or None
        The list it was priced with.
    cheapest : MachinePlan
        The plan before any moving.
    steps : sequence of int
        Where its stops are now.
    on : datetime.date
        The day it is looked at; what was planned for a day before is overdue.
    shelf : callable
        Stops with what lies on the yard's shelf for each.
    """
    strip = plan_strip(verdict)
    draw = [(width, prefix) for width, prefix in ((WIDE, "strip"), (SMALL, "stripsmall"))]
    wide, small = (inline(strip_svg(strip, width, prefix=prefix), prefix, {}) for width, prefix in draw)
    stops = shelf(planned_stops(verdict, prices, on))
    told = [line.replace("\u00a0", " ") for line in plan_notes(plan)]
    rests = len(not_planned(plan)) + len(plan.assumed) + 1
    return PlanPage(
        head=_head(plan),
        proof=" ".join(filter(None, (_proof(plan), priced_alone_said(plan)))),
        made_of=_made_of(plan),
        strip=wide,
        strip_small=small,
        stops=_stop_lines(verdict, plan, stops, on),
        ways=tuple(_way(row, plan, number) for number, row in enumerate(plan.beside)),
        after=told[: len(told) - rests],
        assumed=told[len(told) - rests : -1],
        rail=_rail(cheapest, steps, verdict),
        step_h=f"{cheapest.step_h:g}",
        last_step=last_step(cheapest),
        papers=offered(stops),
    )


def money(plan: MachinePlan, amount: float) -> str:
    """An amount in the plan's currency, to the whole unit."""
    return f"{plan.currency}{words.GAP}{as_figure(amount)}".replace("-", "−")


def _head(plan: MachinePlan) -> str:
    count = len(plan.stops)
    stops = counted("{n} lay-up", "{n} lay-ups", count).format(n=count) if count else translated("No lay-up pays")
    end = f"{as_figure(plan.horizon_h)}{words.GAP}h"
    if plan.sell_at_h is not None:
        end = translated("the sale in {sell_at_h}{gap}h").format(
            sell_at_h=as_figure(plan.sell_at_h), gap=words.GAP
        )
    return translated("{stops} up to {end}. {paid_said}").format(stops=stops, end=end, paid_said=paid_said(plan))


def _proof(plan: MachinePlan) -> str:
    if plan.proven:
        return translated("Proven: no set of lay-ups that keeps to the calls costs less.")
    return translated("Nothing costs less than {money}; that this is the least is not proven.").format(
        money=money(plan, plan.lower_bound)
    )


def _made_of(plan: MachinePlan) -> str:
    split = plan.beside[0].money if plan.beside else None
    if split is None:
        return ""
    paid = (
        (translated("parts and labour"), split.jobs),
        (translated("the lay-ups themselves with tracks opened and shoes taken over"), split.stops),
        (translated("the machine standing"), split.standing),
    )
    lost = (
        (translated("limits passed and turns made late"), split.losses),
        (translated("parts that break on the way"), split.breaking),
    )
    told, may = (
        "; ".join(f"{what} {money(plan, amount)}" for what, amount in some if amount >= 1) or translated("nothing")
        for some in (paid, lost)
    )
    return translated("To pay: {paid}. Expected loss: {lost}.").format(paid=told, lost=may)


def _way(row: PlanWay, plan: MachinePlan, number: int) -> WayLine:
    standing = "–" if row.standing_h is None else f"{as_figure(row.standing_h)}{words.GAP}h"
    more = row.cost - plan.cost
    said = "" if number == 0 else f"{'+' if more >= 0 else '−'}{money(plan, abs(more))}"
    name = words.first_up(say(row.name))
    return WayLine(
        name,
        money(plan, row.cost),
        said,
        str(row.stops),
        standing,
        as_figure(row.limits_passed, ".1f"),
        in_a_hundred(row.chance_any),
    )


def _stop_lines(
    verdict: Verdict, plan: MachinePlan, stops: Sequence[PlannedStop], on: dt.date
) -> tuple[StopLine, ...]:
    """Every stop with its jobs; a caution is told in full where it stands first."""
    jobs = told_jobs(replace(verdict, jobs=tuple(job for stop in stops for job in stop.jobs)))
    ranges = {stop.at_h: stop for stop in plan.stops}
    lines = []
    for stop in stops:
        mine, jobs = jobs[: len(stop.jobs)], jobs[len(stop.jobs) :]
        for job in mine:
            cautions = job["cautions"]
            if isinstance(cautions, list):
                job["again"] = ", ".join(one["title"].lower() for one in cautions if not one["text"])
        when = _when(
            stop, translated(" after {as_of}").format(as_of=words.day(verdict.as_of)) if verdict.as_of < on else ""
        )
        lines.append(StopLine(stop.number, when, _moves(ranges.get(stop.at_h)), *_price(stop), mine, _order(stop)))
    return tuple(lines)


def _order(stop: PlannedStop) -> list[tuple[str, str, str]]:
    kept = tuple(line for line in stop.order.parts if line.on_shelf is not None)
    return order_lines(replace(stop.order, parts=kept, consumables=(), ask=()))


def _when(stop: PlannedStop, counted_from: str) -> str:
    if stop.at_h == 0 and any(job.call is Call.STOP for job in stop.jobs):
        return translated("before it works again")
    if stop.overdue_since is not None:
        return translated("now, overdue since {overdue_since}").format(overdue_since=words.day(stop.overdue_since))
    if stop.at_h == 0:
        return translated("now") if stop.number else translated("within the booking window")
    if not stop.dated:
        return translated("in {at_h}{gap}h{counted_from}").format(
            at_h=as_figure(stop.at_h), gap=words.GAP, counted_from=counted_from
        )
    return translated("in {at_h}{gap}h{counted_from}, about {day}").format(
        at_h=as_figure(stop.at_h), gap=words.GAP, counted_from=counted_from, day=words.day(stop.day)
    )


def _moves(stop: object) -> str:
    early, late = getattr(stop, "earliest_h", None), getattr(stop, "latest_h", None)
    if early is None or late is None or early == late:
        return ""
    return translated("hardly dearer anywhere between {early} and {late}{gap}h").format(
        early=as_figure(early), late=as_figure(late), gap=words.GAP
    )


def _price(stop: PlannedStop) -> tuple[str, str]:
    price = stop.price
    if price is None:
        return translated("not priced"), ""
    asked = words.amount_range(price)
    said = words.amount(price.usual, price.currency) + (f" ({asked})" if asked else "")
    beside = ", ".join(
        f"{say(charge.words)} {words.amount(charge.amount, stop.currency)}" for charge in stop.charges
    )
    return said, beside


def _rail(cheapest: MachinePlan, steps: Sequence[int], verdict: Verdict) -> tuple[RailStop, ...]:
    return tuple(
        RailStop(
            number,
            step,
            least,
            f"{step * cheapest.step_h:g}",
            as_figure(least * cheapest.step_h, "g"),
            "; ".join(names.job_said(job.kind, names.places_said(job.places, verdict.gear)) for job in stop.jobs),
        )
        for number, (stop, step, least) in enumerate(
            zip(cheapest.stops, steps, steps_of(cheapest), strict=True), 1
        )
    )
