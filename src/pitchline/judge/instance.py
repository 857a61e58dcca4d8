"""From one machine's outlook and a price list to a stop instance: what wears, what may be done, what it costs."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from pitchline.judge.known import Known
from pitchline.money.cost import Cost, job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.dates import day_when
from pitchline.outlook.expected import LifeLeft, life_left
from pitchline.outlook.lives import NEW_SIZE_SHARE, TURNED_START
from pitchline.outlook.machine import MachineOutlook, is_turned_next
from pitchline.outlook.paths import FloatArray
from pitchline.outlook.renewed import as_new, on_other_face, share_left
from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.stops.jobs import job_at_limit, pieces_at, target_of
from pitchline.stops.order import opens_track
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side

_NO_NEW = (JobKind.INVESTIGATE, JobKind.TURN)
USUAL_HOURS_PER_YEAR = 1500.0
"""Hours a year where none are entered [h]: only the interest leans on it."""
_DEAR = 20.0
WEEKS_PER_YEAR = 365.25 / 7


@dataclass(frozen=True, slots=True)
class Done:
    """What a job of an instance is on the machine.

    Parameters
    ----------
    kind : JobKind
        What is done.
    place : Place
        Where.
    pieces : int
        How many pieces it takes, from 1.

    References
    ----------
    Definition.
    """

    kind: JobKind
    place: Place
    pieces: int


@dataclass(frozen=True, slots=True)
class Bridged:
    """A machine as a stop instance.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    done : dict of (str, str) to Done or None
        What each job of each part is on the machine; None where another part's job stands for it.
    members : dict of str to tuple of int
        Places among the outlook's parts behind each part of the instance.
    passing : dict of str to (float, float)
        Loss when a part's limit is passed, at once [currency] and for each hour past it [currency/h].
    left_out : tuple of str
        Parts that are not planned for, and why.
    assumed : tuple of str
        What had to be assumed, in sentences.
    forced : frozenset of str
        Parts that have to be renewed before the machine works again.
    unforced : StopInstance or None
        The same instance without the loss that makes every plan renew them.
    early_per_h : dict of str to float
        What an hour of life thrown away costs, by part [currency/h].
    turning : dict of str to Turning
        For bushes on their first face: what is lost past the turn point.

    References
    ----------
    Definition.
    """

    instance: StopInstance
    done: dict[tuple[str, str], Done | None]
    members: dict[str, tuple[int, ...]]
    passing: dict[str, tuple[float, float]]
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    forced: frozenset[str] = frozenset()
    unforced: StopInstance | None = None
    early_per_h: dict[str, float] = field(default_factory=dict)
    turning: dict[str, "Turning"] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Turning:
    """What bushes lose that are turned too late.

    Parameters
    ----------
    member : int
        Place of the forward face among the outlook's parts.
    lost_per_h : float
        Loss for each hour past the turn point, up to the limit [currency/h].
    rest_h : float
        Hours from the turn point to the limit, as expected [h].

    References
    ----------
    Our own assumption; see docs/explanation/plan-of-a-machine.md.
    """

    member: int
    lost_per_h: float
    rest_h: float


@dataclass(frozen=True, slots=True)
class _Risk:
    """One limit of a part in one stage: when it is reached, and what passing it costs at once and an hour.

    With `until`, the hourly loss ends where that is reached: nothing more can be lost then.
    """

    reached: Crossing
    at_once: float
    per_h: float
    until: Crossing | None = None


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

    References
    ----------
    Our own formulation, see docs/explanation/plan-of-a-machine.md.
    """
    if prices is None:
        step = "Add --prices with the yard's price list."
        raise NotAllowedError("price list", "none", "a price list: a plan weighs money against hours", step)
    if outlook is None:
        raise NotAllowedError("limits", "none entered", "wear limits of what was read", "Enter the yard's limits.")
    whole = _Bridge(known, outlook, prices, settings).bridged()
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

    def __init__(self, known: Known, outlook: MachineOutlook, prices: PriceList, settings: PlanSettings) -> None:
        self.known, self.outlook, self.prices, self.settings = known, outlook, prices, settings
        self.gear = known.dossier.gear
        self.steps, self.step_h = settings.steps, settings.step_h
        self.hours_h: FloatArray = self.step_h * np.arange(self.steps + 1, dtype=np.float64)
        self.months = [day.month for day in self._days()]
        self.lives: tuple[LifeLeft, ...] = life_left(outlook)
        self.components: list[Component] = []
        self.done: dict[tuple[str, str], Done | None] = {}
        self.members: dict[str, tuple[int, ...]] = {}
        self.passing: dict[str, tuple[float, float]] = {}
        self.early_per_h: dict[str, float] = {}
        self.turning: dict[str, Turning] = {}
        self.left_out: list[str] = []
        self.guessed: list[str] = []
        self.rules: list[Rule] = []

    def bridged(self) -> Bridged:
        taken = self._not_read()
        for side in (Side.LEFT, Side.RIGHT, Side.NONE):
            taken |= self._chain(side)
        for member in range(len(self.outlook.parts)):
            if member not in taken:
                self._plain(member)
        for side in (Side.LEFT, Side.RIGHT):
            self._sprocket_with_chain(side)
        if not self.components:
            step = "Add prices for the jobs, and readings of the parts."
            raise NotAllowedError("plan", "no part can be planned", "a part with an outlook and a price", step)
        instance = StopInstance(
            self.known.dossier.machine.name,
            self.steps,
            self.step_h,
            self._hours_per_year(),
            self.settings.discount_rate_per_year,
            (self._stop_cost(),) * self.steps,
            self._groups(),
            tuple(self.components),
            tuple(self.rules),
        )
        return Bridged(
            instance,
            self.done,
            self.members,
            self.passing,
            tuple(dict.fromkeys(self.left_out)),
            self._assumed(),
            early_per_h=self.early_per_h,
            turning=self.turning,
        )

    def _not_read(self) -> set[int]:
        """Quantities nobody has read on the part now fitted: nothing is planned on them, and they are named.

        A sprocket stays, because a new chain asks for it.
        """
        parts = self.outlook.parts
        unread = {member for member, part in enumerate(parts) if not part.life.traces}
        read = {part.life.place for member, part in enumerate(parts) if member not in unread}
        for place in dict.fromkeys(parts[member].life.place for member in sorted(unread)):
            if place not in read:
                kept = place.part is PartKind.SPROCKET
                (self.guessed if kept else self.left_out).append(f"{place.label}: not read")
        return {member for member in unread if parts[member].life.place.part is not PartKind.SPROCKET}

    def _days(self) -> list[dt.date]:
        weekly = self.known.dossier.utilisation
        if weekly is None:
            return [self.known.as_of] * self.steps
        days = [day_when(self.known.as_of, float(hours), weekly.usual) for hours in self.hours_h[:-1]]
        return [day or self.known.as_of for day in days]

    def _hours_per_year(self) -> float:
        weekly = self.known.dossier.utilisation
        return USUAL_HOURS_PER_YEAR if weekly is None else weekly.usual * WEEKS_PER_YEAR

    def _stop_cost(self) -> float:
        if self.settings.stop_cost is not None:
            return self.settings.stop_cost
        costs = self.prices.stop
        if costs is None:
            return 0.0
        return sum(figure or 0.0 for figure in (costs.lorry, costs.call_out, costs.fitter_day))

    def _groups(self) -> tuple[Group, ...]:
        costs = self.prices.stop
        opening = costs.opening_per_side or 0.0 if costs is not None else 0.0
        used = {name for part in self.components for job in part.jobs for name in job.groups}
        return tuple(Group(name, (opening,) * self.steps) for name in sorted(used))

    def _cost(self, kind: JobKind, place: Place) -> Cost:
        return job_cost(self.prices, kind, place.part, 1, pieces_at(kind, place.part, self.gear))

    def _cost_by_step(self, cost: Cost) -> tuple[float, ...]:
        """Usual price, and the machine standing for its labour by the month."""
        price = cost.price.usual if cost.price is not None else 0.0
        stop = self.prices.stop
        rates = [(stop.standing_rate(month) if stop is not None else None) or 0.0 for month in self.months]
        return tuple(price + rate * (cost.labour_h or 0.0) for rate in rates)

    def _opened(self, kind: JobKind, place: Place) -> tuple[str, ...]:
        costs = self.prices.stop
        free = costs is None or not costs.opening_per_side
        if free or place.side is Side.NONE or not opens_track(kind, place.part, self.gear):
            return ()
        return (f"{place.side.value} track opened",)

    def _early_per_h(self, cost: Cost, member: int) -> float:
        """What an hour of life thrown away costs."""
        price = cost.price.usual if cost.price is not None else 0.0
        return price / max(self.lives[member].as_new_h, 1.0)

    def _passing(self, cost: Cost, member: int) -> tuple[float, float]:
        """Loss when a limit is passed, at once and for each hour past it."""
        price = cost.price.usual if cost.price is not None else 0.0
        unplanned = self._stop_cost() + self.settings.damage_share * price
        return unplanned, self.settings.overrun_times * self._early_per_h(cost, member)

    def _stage(self, name: str, risks: list[_Risk], credit: Callable[[FloatArray], FloatArray]) -> Stage:
        """One stage: parts already past their limit have it passed in the first step."""
        chances = np.array([risk.reached.chance(self.hours_h[None])[0] for risk in risks])
        chances = np.maximum.accumulate(np.clip(chances, 0.0, 1.0), axis=1)
        chances[:, 0] = 0.0
        at_once = np.array([risk.at_once for risk in risks])[:, None]
        per_h = np.array([risk.per_h for risk in risks])[:, None]
        running = chances - np.array([self._ended(risk) for risk in risks])
        newly, standing = np.diff(chances, axis=1), (running[:, 1:] + running[:, :-1]) / 2
        penalty = (at_once * newly + per_h * self.step_h * standing).sum(axis=0)
        worth = self.settings.end_share * credit(self.hours_h)
        real = [number for number, risk in enumerate(risks) if risk.reached.level[0] == 1.0]
        either = chances[real].max(axis=0)
        return Stage(name, *(tuple(row.tolist()) for row in (either, penalty, np.maximum(worth, 0.0))))

    def _ended(self, risk: _Risk) -> FloatArray:
        """Chance that an hourly loss has come to its end by each step."""
        if risk.until is None:
            return np.zeros(self.steps + 1)
        ended = np.clip(risk.until.chance(self.hours_h[None])[0], 0.0, 1.0)
        ended[0] = 0.0
        return np.asarray(np.minimum(ended, np.clip(risk.reached.chance(self.hours_h[None])[0], 0.0, 1.0)))

    def _credit(self, price: float, part: Crossing) -> Callable[[FloatArray], FloatArray]:
        return lambda hours_h: price * share_left(part, hours_h)

    def _now(self, member: int, level: float | None = None) -> Crossing:
        one = self.outlook.limits.of([self.outlook.rows[member]])
        return one if level is None else replace(one, level=np.array([level]))

    def _plain(self, member: int) -> None:
        """A part that is renewed alone."""
        life = self.outlook.parts[member].life
        kind = job_at_limit(life.line.limit, turnable=False)
        place = target_of(kind, life.place)
        name = PARTS[place.part].plural
        if life.measurand is Measurand.BUSH_OD_REVERSE:
            return
        if kind in _NO_NEW:
            self.left_out.append(f"{name}: at the limit it is looked into, which is no job to plan")
            return
        cost = self._cost(kind, place)
        if cost.price is None:
            self.left_out.append(f"{name}: {kind.label} is not on the price list")
            return
        part = place.label
        if part in self.members:
            self._second_limit(part, member)
            return
        at_once, per_h = self._passing(cost, member)
        new = as_new(self.outlook, member)
        stages = (
            self._stage(
                "current",
                [_Risk(self._now(member), at_once, per_h)],
                self._credit(cost.price.usual, self._now(member)),
            ),
            self._stage("new", [_Risk(new, at_once, per_h)], self._credit(cost.price.usual, new)),
        )
        word, by_step = kind.value, self._cost_by_step(cost)
        jobs = tuple(StageJob(word, stage, 1, by_step, self._opened(kind, place)) for stage in (0, 1))
        self.components.append(Component(part, stages, jobs))
        self.done[part, word] = Done(kind, place, pieces_at(kind, place.part, self.gear))
        self.members[part], self.passing[part] = (member,), (at_once, per_h)
        self.early_per_h[part] = self._early_per_h(cost, member)

    def _second_limit(self, part: str, member: int) -> None:
        """A second quantity of the same part, such as a flange beside a tread: whichever asks first renews both."""
        at = next(number for number, one in enumerate(self.components) if one.name == part)
        first = self.components[at]
        place = self.outlook.parts[member].life.place
        cost = self._cost(next(done.kind for key, done in self.done.items() if key[0] == part and done), place)
        at_once, per_h = self._passing(cost, member)
        other = [
            self._stage(name, [_Risk(risk, at_once, per_h)], np.zeros_like)
            for name, risk in (("current", self._now(member)), ("new", as_new(self.outlook, member)))
        ]
        stages = tuple(_both(one, two) for one, two in zip(first.stages, other, strict=True))
        self.components[at] = replace(first, stages=stages)
        self.members[part] = (*self.members[part], member)

    def _chain(self, side: Side) -> set[int]:
        """Links, bushes and pitch of one side: renewed together as a chain, bushes turned in between."""
        mine = {
            part.life.measurand: member
            for member, part in enumerate(self.outlook.parts)
            if part.life.traces
            and part.life.place.side is side
            and part.life.place.part in (PartKind.LINK, PartKind.BUSH, PartKind.CHAIN)
        }
        if not mine:
            return set()
        chain = Place(PartKind.CHAIN, side)
        cost = self._cost(JobKind.REPLACE, chain)
        if cost.price is None:
            self.left_out.append("chains: replace is not on the price list")
            return set(mine.values())
        rail, bush = mine.get(Measurand.RAIL_HEIGHT), mine.get(Measurand.BUSH_OD_FORWARD)
        pitch = mine.get(Measurand.PITCH)
        halves = 0.5 if rail is not None and (bush is not None or pitch is not None) else 1.0
        made = []
        if rail is not None:
            made.append(self._rail(rail, chain, cost, halves))
        if bush is not None or pitch is not None:
            made.append(self._bushes(bush, pitch, chain, cost, halves, paid=rail is None))
        if len(made) == 2:
            word = JobKind.REPLACE.value
            self.rules.append(Rule(RuleKind.SAME_TIME, (made[0], word), (made[1], word)))
        return set(mine.values())

    def _rail(self, member: int, chain: Place, cost: Cost, share: float) -> str:
        price = cost.price.usual if cost.price is not None else 0.0
        at_once, per_h = self._passing(cost, member)
        now, new = self._now(member), as_new(self.outlook, member)
        stages = (
            self._stage("current", [_Risk(now, at_once, per_h)], self._credit(share * price, now)),
            self._stage("new", [_Risk(new, at_once, per_h)], self._credit(share * price, new)),
        )
        part, word = f"links, {chain.side.value}", JobKind.REPLACE.value
        opened = self._opened(JobKind.REPLACE, chain)
        jobs = tuple(StageJob(word, stage, 1, self._cost_by_step(cost), opened) for stage in (0, 1))
        self.components.append(Component(part, stages, jobs))
        self.done[part, word] = Done(JobKind.REPLACE, chain, pieces_at(JobKind.REPLACE, PartKind.CHAIN, self.gear))
        self.members[part], self.passing[part] = (member,), (at_once, per_h)
        self.early_per_h[part] = self._early_per_h(cost, member)
        return part

    def _bushes(
        self, bush: int | None, pitch: int | None, chain: Place, cost: Cost, share: float, paid: bool
    ) -> str:
        """Bushes and pitch: on the first face, turned, new, and turned again; a turn brings the pitch back."""
        part, word = f"bushes, {chain.side.value}", JobKind.REPLACE.value
        bushes = Place(PartKind.BUSH, chain.side)
        turn = self._cost(JobKind.TURN, bushes)
        turnable = bush is not None and is_turned_next(self.outlook.parts[bush].life)
        price = cost.price.usual if cost.price is not None else 0.0
        can_turn = turn.price is not None and bush is not None
        if bush is not None and turn.price is None:
            self.left_out.append("turning bushes: not on the price list, so no turn is planned")
        stages, first = [], self._face(bush, "now", can_turn and turnable, cost)
        names = ["first face" if turnable else "current"]
        faces = [first]
        if can_turn:
            names, faces = (
                [*names, *(["turned"] if turnable else []), "new", "new, turned"],
                [
                    first,
                    *([self._face(bush, "turned", False, cost)] if turnable else []),
                    self._face(bush, "new", True, cost),
                    self._face(bush, "new, turned", False, cost),
                ],
            )
        else:
            names, faces = [*names, "new"], [first, self._face(bush, "new", False, cost)]
        for number, (name, risks) in enumerate(zip(names, faces, strict=True)):
            also = [] if pitch is None else [self._pitch(pitch, number == 0, cost)]
            stages.append(self._stage(name, [*risks, *also], self._worth_of_faces(share * price, [*risks, *also])))
        new = names.index("new")
        by_step = self._cost_by_step(cost) if paid else (0.0,) * self.steps
        opened = self._opened(JobKind.REPLACE, chain)
        jobs = [StageJob(word, stage, new, by_step, opened) for stage in range(len(names))]
        if can_turn:
            turning, open_turn = self._cost_by_step(turn), self._opened(JobKind.TURN, bushes)
            turns = (("first face", "turned"), ("new", "new, turned"))
            pairs = [(names.index(before), names.index(after)) for before, after in turns if before in names]
            jobs += [StageJob(JobKind.TURN.value, before, after, turning, open_turn) for before, after in pairs]
            self.done[part, JobKind.TURN.value] = Done(
                JobKind.TURN, bushes, pieces_at(JobKind.TURN, PartKind.BUSH, self.gear)
            )
        self.components.append(Component(part, tuple(stages), tuple(jobs)))
        pieces = pieces_at(JobKind.REPLACE, PartKind.CHAIN, self.gear)
        self.done[part, word] = Done(JobKind.REPLACE, chain, pieces) if paid else None
        members = tuple(member for member in (bush, pitch) if member is not None)
        self.members[part], self.passing[part] = members, self._passing(cost, members[0])
        self.early_per_h[part] = share * self._early_per_h(cost, members[0])
        if bush is not None and can_turn and turnable:
            self.turning[part] = self._turning(bush, cost)
        return part

    def _worth_of_faces(self, price: float, risks: list[_Risk]) -> Callable[[FloatArray], FloatArray]:
        """Half the worth for each face: the other one is there in full until the turn point, and lost at the limit."""
        first = risks[0].reached
        turn_at = float(first.level[0])
        if turn_at == 1.0:
            return self._credit(0.5 * price, first)
        limit = risks[1].reached

        def worth(hours_h: FloatArray) -> FloatArray:
            other = np.minimum(share_left(limit, hours_h) / (1 - turn_at), 1.0)
            return np.asarray(0.5 * price * (share_left(first, hours_h) + other))

        return worth

    def _face(self, bush: int | None, which: str, to_turn: bool, cost: Cost) -> list[_Risk]:
        """A face of the bushes: up to the turn point, past which the turn's worth is lost hour by hour, or up to the limit."""
        if bush is None:
            return []
        part = self.outlook.parts[bush].life.line.limit
        at_once, per_h = self._passing(cost, bush)
        limit = _Risk(self._face_until(bush, which, 1.0), at_once, per_h)
        if not to_turn:
            return [limit]
        lost_per_h = self._turning(bush, cost).lost_per_h
        turn_at = float(self.outlook.dues.level[self.outlook.rows[bush]])
        level = turn_at if turn_at < 1.0 else part.turn_at
        return [_Risk(self._face_until(bush, which, level), 0.0, lost_per_h, limit.reached), limit]

    def _turning(self, bush: int, cost: Cost) -> Turning:
        """The worth of the other face, half a chain, spread over the hours from the turn point to the limit."""
        turn_at = self.outlook.parts[bush].life.line.limit.turn_at
        price = cost.price.usual if cost.price is not None else 0.0
        rest_h = max(self.lives[bush].as_new_h / (1 + turn_at) * (1 - turn_at), 1.0)
        return Turning(bush, 0.5 * price / rest_h, rest_h)

    def _face_until(self, bush: int, which: str, level: float) -> Crossing:
        if which == "now":
            return self._now(bush, level)
        if which == "turned":
            return replace(on_other_face(self.outlook, bush), level=np.array([level]))
        return as_new(self.outlook, bush, level, NEW_SIZE_SHARE if which == "new" else TURNED_START)

    def _pitch(self, member: int, now: bool, cost: Cost) -> _Risk:
        return _Risk(self._now(member) if now else as_new(self.outlook, member), *self._passing(cost, member))

    def _sprocket_with_chain(self, side: Side) -> None:
        """A new chain asks for a new sprocket on its side."""
        sprocket = Place(PartKind.SPROCKET, side).label
        chain = next(
            (name for name in (f"links, {side.value}", f"bushes, {side.value}") if name in self.members), None
        )
        words = [key[1] for key in self.done if key[0] == sprocket]
        if chain is not None and words:
            self.rules.append(Rule(RuleKind.A_NEEDS_B, (chain, JobKind.REPLACE.value), (sprocket, words[0])))

    def _assumed(self) -> tuple[str, ...]:
        settings = self.settings
        said = [
            f"A limit passed in service costs one unplanned stop, {100 * settings.damage_share:.0f} % of the job's price in "
            f"damage to other parts, and {settings.overrun_times:g} hours of a new part's life for each hour past it (our "
            "assumption).",
            "Past the turn point the worth of the other face, half a chain, is lost evenly up to the limit (our assumption).",
            "A new chain comes with new bushes and a new sprocket on its side (common practice).",
        ]
        if self.guessed:
            places = "; ".join(self.guessed)
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
        if settings.stop_cost is None and self.prices.stop is None:
            said.append("The price list has no cost of a stop: stops are free but for their jobs. Enter one.")
        if self.known.dossier.utilisation is None:
            said.append("No hours a week are entered: the season is that of today throughout.")
        return tuple(said)


def _both(one: Stage, other: Stage) -> Stage:
    """Two quantities of one part in one stage: either may be passed, each costs what it costs."""
    chance = tuple(max(pair) for pair in zip(one.prob_limit_by_step, other.prob_limit_by_step, strict=True))
    penalty = tuple(a + b for a, b in zip(one.penalty_by_step, other.penalty_by_step, strict=True))
    return Stage(one.name, chance, penalty, one.end_credit_by_age)
