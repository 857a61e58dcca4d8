"""From one machine's outlook and a price list to a stop instance: what wears, what may be done, what it costs.

See docs/explanation/plan-of-a-machine.md.
"""

from dataclasses import replace

import numpy as np

from pitchline.judge.bridged import Bridged, Done
from pitchline.judge.chain_parts import add_chain
from pitchline.judge.draft import Draft
from pitchline.judge.machine_by_day import Known
from pitchline.judge.pairs import pair_sides
from pitchline.judge.stage_costs import Risk, StageCosts
from pitchline.money.prices import PriceList
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.renewed import as_new
from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.stops.jobs import job_at_limit, pieces_at, target_of
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.writing import as_figure

_NO_NEW = (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.TURN)
_DEAR = 20.0


def bridged(
    known: Known,
    outlook: MachineOutlook | None,
    prices: PriceList | None,
    settings: PlanSettings,
    at_once: frozenset[Place] = frozenset(),
) -> Bridged:
    """One machine as a stop instance.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        Hours left of each part.
    prices : PriceList or None
        The yard's list.
    settings : PlanSettings
        What is asked for.
    at_once : frozenset of Place
        Where a part has to be renewed before the machine works again.

    Returns
    -------
    Bridged
        Every part that wears and is priced; the others are named.

    Raises
    ------
    NotAllowedError
        No price list, no limit entered, or nothing at all that can be planned.
    """
    if prices is None:
        step = "Add --prices with the yard's price list."
        raise NotAllowedError("price list", "none", "a price list: a plan weighs money against hours", step)
    if outlook is None:
        raise NotAllowedError("limits", "none entered", "wear limits of what was read", "Enter the yard's limits.")
    whole = _Bridge(StageCosts(known, outlook, prices, settings), at_once).bridged()
    forced = {part for (part, _), done in whole.done.items() if done is not None and done.place in at_once}
    return replace(
        whole, instance=_forced(whole.instance, forced), forced=frozenset(forced), unforced=whole.instance
    )


def _forced(instance: StopInstance, forced: set[str]) -> StopInstance:
    """The same with a loss in the first step that no plan will take, for parts that must not work on."""
    components = []
    for part in instance.components:
        if part.name in forced:
            dear = _DEAR * (max(job.cost[0] for job in part.jobs) + instance.stop_cost[0] + 1.0)
            first = part.stages[0]
            penalty = (first.penalty_by_step[0] + dear, *first.penalty_by_step[1:])
            passed = (1.0,) * len(first.prob_limit_by_step)
            now = replace(first, penalty_by_step=penalty, prob_limit_by_step=passed)
            part = replace(part, stages=(now, *part.stages[1:]))
        components.append(part)
    return replace(instance, components=tuple(components))


class _Bridge:
    """The work of bridged, side by side and part by part."""

    def __init__(self, costs: StageCosts, at_once: frozenset[Place]) -> None:
        self.costs, self.at_once, self.draft = costs, at_once, Draft()

    def bridged(self) -> Bridged:
        draft, costs = self.draft, self.costs
        taken = self._not_read()
        for side in (Side.LEFT, Side.RIGHT, Side.NONE):
            taken |= add_chain(draft, costs, side)
        for member in range(len(costs.outlook.parts)):
            if member not in taken:
                self._plain(member)
        for side in (Side.LEFT, Side.RIGHT):
            self._sprocket_with_chain(side)
        if not draft.components:
            step = "Add prices for the jobs, and readings of the parts."
            raise NotAllowedError("plan", "no part can be planned", "a part with an outlook and a price", step)
        apart = pair_sides(draft, costs.outlook, self.at_once)
        instance = StopInstance(
            costs.known.dossier.machine.name,
            costs.steps,
            costs.step_h,
            costs.hours_per_year(),
            costs.settings.discount_rate_per_year,
            (costs.stop_cost(),) * costs.steps,
            self._groups(),
            tuple(draft.components),
            tuple(draft.rules),
        )
        return Bridged(
            instance,
            draft.done,
            draft.members,
            draft.passing,
            tuple(dict.fromkeys(draft.left_out)),
            self._assumed(apart),
            early_per_h=draft.early_per_h,
            turning=draft.turning,
            standing_per_h=tuple(costs.rates),
            apart=apart,
        )

    def _not_read(self) -> set[int]:
        """Quantities nobody has read on the part now fitted: nothing is planned on them, and they are named.

        A sprocket stays, because a new chain asks for it.
        """
        parts = self.costs.outlook.parts
        unread = {member for member, part in enumerate(parts) if not part.life.traces}
        read = {part.life.place for member, part in enumerate(parts) if member not in unread}
        for place in dict.fromkeys(parts[member].life.place for member in sorted(unread)):
            if place not in read:
                kept = place.part is PartKind.SPROCKET
                (self.draft.guessed if kept else self.draft.left_out).append(f"{place.label}: not read")
        return {member for member in unread if parts[member].life.place.part is not PartKind.SPROCKET}

    def _groups(self) -> tuple[Group, ...]:
        costs = self.costs.prices.stop
        opening = costs.opening_per_side or 0.0 if costs is not None else 0.0
        used = {name for part in self.draft.components for job in part.jobs for name in job.groups}
        return tuple(Group(name, (opening,) * self.costs.steps) for name in sorted(used))

    def _plain(self, member: int) -> None:
        """A part that is renewed alone."""
        life = self.costs.outlook.parts[member].life
        kind = job_at_limit(life.line.limit, turnable=False)
        place = target_of(kind, life.place)
        name = PARTS[place.part].plural
        if life.measurand is Measurand.BUSH_OD_REVERSE:
            return
        if kind in _NO_NEW:
            self.draft.left_out.append(f"{name}: at the limit it is looked into, which is no job to plan")
            return
        cost = self.costs.cost(kind, place)
        if cost.price is None:
            self.draft.left_out.append(f"{name}: {kind.label} is not on the price list")
            return
        part = place.label
        if part in self.draft.members:
            self._second_limit(part, member)
            return
        at_once, per_h = self.costs.passing(cost, member)
        new = as_new(self.costs.outlook, member)
        stages = (
            self.costs.stage(
                "current",
                [Risk(self.costs.todays(member), at_once, per_h)],
                self.costs.credit(cost.price.usual, self.costs.todays(member)),
            ),
            self.costs.stage("new", [Risk(new, at_once, per_h)], self.costs.credit(cost.price.usual, new)),
        )
        word, by_step = kind.value, self.costs.cost_by_step(cost)
        jobs = tuple(StageJob(word, stage, 1, by_step, self.costs.opened(kind, place)) for stage in (0, 1))
        early = self.costs.early_per_h(cost, member)
        self.draft.add(Component(part, stages, jobs), (member,), (at_once, per_h), early)
        self.draft.done[part, word] = Done(kind, place, pieces_at(kind, place.part, self.costs.gear))

    def _second_limit(self, part: str, member: int) -> None:
        """A second quantity of the same part, such as a flange beside a tread: whichever asks first renews both."""
        at = next(number for number, one in enumerate(self.draft.components) if one.name == part)
        first = self.draft.components[at]
        place = self.costs.outlook.parts[member].life.place
        cost = self.costs.cost(
            next(done.kind for key, done in self.draft.done.items() if key[0] == part and done), place
        )
        at_once, per_h = self.costs.passing(cost, member)
        other = [
            self.costs.stage(name, [Risk(risk, at_once, per_h)], np.zeros_like)
            for name, risk in (("current", self.costs.todays(member)), ("new", as_new(self.costs.outlook, member)))
        ]
        stages = tuple(_both(one, two) for one, two in zip(first.stages, other, strict=True))
        self.draft.components[at] = replace(first, stages=stages)
        self.draft.members[part] = (*self.draft.members[part], member)

    def _sprocket_with_chain(self, side: Side) -> None:
        """A new chain asks for a new sprocket on its side."""
        sprocket = Place(PartKind.SPROCKET, side).label
        chain = next(
            (name for name in (f"links, {side.value}", f"bushes, {side.value}") if name in self.draft.members),
            None,
        )
        words = [key[1] for key in self.draft.done if key[0] == sprocket]
        if chain is not None and words:
            self.draft.rules.append(Rule(RuleKind.A_NEEDS_B, (chain, JobKind.REPLACE.value), (sprocket, words[0])))

    def _assumed(self, apart: tuple[str, ...]) -> tuple[str, ...]:
        settings = self.costs.settings
        said = [
            f"A limit passed in service costs one unplanned stop with {as_figure(settings.unplanned_h, 'g')} hours standing, "
            f"{100 * settings.damage_share:.0f} % of the job's price in damage to other parts, and "
            f"{as_figure(settings.overrun_times, 'g')} hours of a new part's life for each hour past it (our assumption).",
            "Past the turn point the worth of the other face, half a chain, is lost evenly up to the limit (our assumption).",
            "A new chain comes with new bushes and a new sprocket on its side (common practice).",
        ]
        said.append(
            "Chains, shoes, pads, rubber tracks and sprockets are renewed on both sides together, bushes turned likewise "
            "(common practice)."
        )
        if apart:
            said.append(
                f"Left and right planned apart, because their hours left are too far apart: {', '.join(apart)}."
            )
        if self.draft.guessed:
            places = "; ".join(self.draft.guessed)
            said.append(
                f"Planned by the machine's other parts alone: {places}. Measure before anything is ordered."
            )
        if settings.sell_at_h is None:
            said.append("No sale is planned: life left at the end counts by its share of the price as new.")
        else:
            paid = f"{100 * settings.paid_share:.0f} % of the worth of the life left"
            said.append(f"At the sale a buyer pays {paid} (our assumption).")
        if settings.discount_rate_per_year == 0:
            said.append("No interest is counted.")
        if settings.stop_cost is None and self.costs.prices.stop is None:
            said.append("The price list has no cost of a stop: stops are free but for their jobs. Enter one.")
        if self.costs.known.dossier.utilisation is None:
            said.append("No hours a week are entered: the season is that of today throughout.")
        return tuple(said)


def _both(one: Stage, other: Stage) -> Stage:
    """Two quantities of one part in one stage: either may be passed, each costs what it costs."""
    chance = tuple(max(pair) for pair in zip(one.prob_limit_by_step, other.prob_limit_by_step, strict=True))
    penalty = tuple(a + b for a, b in zip(one.penalty_by_step, other.penalty_by_step, strict=True))
    return Stage(one.name, chance, penalty, one.end_credit_by_age)
