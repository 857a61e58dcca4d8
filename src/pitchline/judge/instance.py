"""From one machine's outlook and a price list to a stop instance: what wears, what may be done, what it costs.

See docs/explanation/plan-of-a-machine.md.
"""

from collections.abc import Mapping

from pitchline.judge.bridged import Bridged, Done, Held, hold
from pitchline.judge.chain_parts import add_chain
from pitchline.judge.draft import Draft
from pitchline.judge.pairs import pair_sides, together
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.stage_costs import StageCosts
from pitchline.outlook.renewed import as_new
from pitchline.stops.along import LITTLE_LEFT, SPROCKET_WORN, WORN
from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.stops.jobs import job_at_limit, pieces_at, target_of
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

_NO_NEW = (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.TURN)


def bridged(asked: PlanInputs) -> Bridged:
    """One machine as a stop instance.

    Parameters
    ----------
    asked : PlanInputs
        What a plan is made from.

    Returns
    -------
    Bridged
        Every part that wears and is priced, held to the verdict's calls; the others are named.

    Raises
    ------
    NotAllowedError
        No price list, no limit entered, or nothing at all that can be planned.
    """
    if asked.prices is None:
        step = "Add --prices with the yard's price list."
        raise NotAllowedError("price list", "none", "a price list: a plan weighs money against hours", step)
    if asked.outlook is None:
        raise NotAllowedError("limits", "none entered", "wear limits of what was read", "Enter the yard's limits.")
    called = {item.place: item for item in reversed(asked.work) if holds_a_plan(item)}
    whole = _Bridge(StageCosts(asked.known, asked.outlook, asked.prices, asked.settings), called).bridged()
    window = int(asked.window_h / asked.settings.step_h)
    held = {}
    for (part, job), done in whole.done.items():
        item = called.get(done.place) if done is not None else None
        if item is not None and done is not None and (done.kind is JobKind.TURN) is (item.job is JobKind.TURN):
            stops = item.call is Call.STOP
            held[part] = Held(job, 0 if stops else window, stops)
    return hold(whole, held)


def holds_a_plan(item: Work) -> bool:
    """Whether a piece of work is called and is a job of the plan: a part renewed or turned, not a few shoes or pads of many."""
    few = item.part_row is None and item.place.part in (PartKind.SHOE, PartKind.PAD)
    return item.call.asks and item.job in (*RENEWS, JobKind.TURN) and not few


class _Bridge:
    """The work of bridged, side by side and part by part."""

    def __init__(self, costs: StageCosts, called: Mapping[Place, Work]) -> None:
        self.costs, self.called, self.draft = costs, called, Draft()

    def bridged(self) -> Bridged:
        draft, costs = self.draft, self.costs
        taken = self._not_read()
        for side in (Side.LEFT, Side.RIGHT, Side.NONE):
            taken |= add_chain(draft, costs, side)
        for (kind, place), members in self._renewed_alone(taken).items():
            self._plain(kind, place, members)
        for side in (Side.LEFT, Side.RIGHT):
            self._sprocket_with_chain(side)
            self._shoes_with_chain(side)
        if not draft.components:
            step = "Add prices for the jobs, and readings of the parts."
            raise NotAllowedError("plan", "no part can be planned", "a part with an outlook and a price", step)
        apart = pair_sides(draft, costs.outlook, self.called)
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
            draft.named,
            draft.members,
            draft.passing,
            tuple(dict.fromkeys(draft.left_out)),
            self._assumed(apart),
            early_per_h=draft.early_per_h,
            turning=draft.turning,
            standing_per_h=tuple(costs.rates),
            apart=apart,
            renewals=draft.renewals,
            not_before=together(draft),
            turn_by=draft.turn_by,
            stop_by=draft.stop_by,
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
                (self.draft.guessed if kept else self.draft.left_out).append(saying("plan.not_read", place=place))
        return {member for member in unread if parts[member].life.place.part is not PartKind.SPROCKET}

    def _groups(self) -> tuple[Group, ...]:
        costs = self.costs.prices.stop
        opening = costs.opening_per_side or 0.0 if costs is not None else 0.0
        used = {name for part in self.draft.components for job in part.jobs for name in job.groups}
        bolted = [self.costs.bolted_over(side) for side in (Side.LEFT, Side.RIGHT)]
        known = {one.name: one for one in bolted if one is not None}
        return tuple(known.get(name) or Group(name, (opening,) * self.costs.steps) for name in sorted(used))

    def _renewed_alone(self, taken: set[int]) -> dict[tuple[JobKind, Place], list[int]]:
        """Quantities of parts renewed alone, by what is done where: two of one part, such as tread and flange, together."""
        found: dict[tuple[JobKind, Place], list[int]] = {}
        at: dict[Place, JobKind] = {}
        for member, part in enumerate(self.costs.outlook.parts):
            life = part.life
            if member in taken or life.measurand is Measurand.BUSH_OD_REVERSE:
                continue
            kind = job_at_limit(life.line.limit, turnable=False)
            place = target_of(kind, life.place)
            if kind in _NO_NEW:
                self.draft.left_out.append(saying("plan.looked_into", part=place.part))
                continue
            found.setdefault((at.setdefault(place, kind), place), []).append(member)
        return found

    def _plain(self, kind: JobKind, place: Place, members: list[int]) -> None:
        """A part that is renewed alone; whichever of its limits is reached first renews it."""
        costs = self.costs
        cost = costs.cost(kind, place)
        if cost.price is None:
            self.draft.left_out.append(saying("price.job_not_on_list", part=place.part, job=kind))
            return
        part, first = place.key, members[0]
        passing = costs.passing(cost, first)
        made: list[tuple[Stage, tuple[float, ...]]] = []
        for name, reached in (("current", costs.todays), ("new", lambda member: as_new(costs.outlook, member))):
            limits = {one: reached(one) for one in members}
            self.draft.stops_by(part, len(made), costs.stop_step(limits))
            made.append(
                costs.stage(name, [*limits.values()], passing, costs.credit(cost.price.usual, limits[first]))
            )
        stages, renewals = zip(*made, strict=True)
        bolted = costs.bolted_over(place.side) if costs.bolts_shoes(kind, place) else None
        by_step, opened = costs.cost_by_step(cost), costs.opened(kind, place)
        if bolted is not None:
            by_step = tuple(max(0.0, price - bolting) for price, bolting in zip(by_step, bolted.cost, strict=True))
            opened = (*opened, bolted.name)
        jobs = tuple(StageJob(kind.value, stage, 1, by_step, opened) for stage in (0, 1))
        early = costs.early_per_h(cost, first)
        named = saying("plan.part", place=place)
        self.draft.add(Component(part, stages, jobs), named, tuple(members), passing, early, renewals)
        level = SPROCKET_WORN if place.part is PartKind.SPROCKET else WORN
        worn = min(costs.first_step(costs.todays(one, level)) for one in members)
        again = min(costs.first_step(as_new(costs.outlook, one, level)) for one in members)
        self.draft.not_before |= {(part, kind.value, 0): worn, (part, kind.value, 1): again}
        self.draft.done[part, kind.value] = Done(kind, place, pieces_at(kind, place.part, costs.gear, place.side))

    def _sprocket_with_chain(self, side: Side) -> None:
        """A new chain asks for a new sprocket on its side."""
        sprocket = Place(PartKind.SPROCKET, side).key
        chain = next(
            (
                name
                for name in (Place(part, side).key for part in (PartKind.LINK, PartKind.BUSH))
                if name in self.draft.members
            ),
            None,
        )
        words = [key[1] for key in self.draft.done if key[0] == sprocket]
        if chain is not None and words:
            self.draft.rules.append(Rule(RuleKind.A_NEEDS_B, (chain, JobKind.REPLACE.value), (sprocket, words[0])))

    def _shoes_with_chain(self, side: Side) -> None:
        """Shoes with little left are not taken over to a new chain."""
        chain = next(
            (
                name
                for name in (Place(part, side).key for part in (PartKind.LINK, PartKind.BUSH))
                if name in self.draft.members
            ),
            None,
        )
        for (part, word), done in list(self.draft.done.items()):
            if chain is None or done is None or done.place.side is not side:
                continue
            if not self.costs.bolts_shoes(done.kind, done.place):
                continue
            used = max(self.costs.outlook.parts[member].life_used for member in self.draft.members[part])
            if used > 1 - LITTLE_LEFT:
                self.draft.rules.append(Rule(RuleKind.A_NEEDS_B, (chain, JobKind.REPLACE.value), (part, word)))

    def _assumed(self, apart: tuple[PartKind, ...]) -> tuple[Saying, ...]:
        settings = self.costs.settings
        ruined, times, stands_h = settings.damage_share, settings.overrun_times, settings.unplanned_h
        said = [
            saying("plan.past_limit", ruined=ruined, times=times, stands_h=stands_h),
            saying("plan.stops_by_middle"),
            saying("plan.past_turn"),
            saying("plan.with_new_chain"),
            saying("plan.sides_together"),
        ]
        if apart:
            said.append(saying("plan.sides_apart", parts=apart))
        if self.draft.guessed:
            said.append(saying("plan.guessed", places=self.draft.guessed))
        if settings.sell_at_h is None:
            said.append(saying("plan.no_sale"))
        else:
            said.append(saying("plan.at_the_sale", paid=settings.paid_share))
        if settings.discount_rate_per_year == 0:
            said.append(saying("plan.no_interest"))
        if settings.stop_cost is None and self.costs.prices.stop is None:
            said.append(saying("plan.lay_ups_free"))
        if self.costs.known.dossier.utilisation is None:
            said.append(saying("plan.one_season"))
        return tuple(said)
