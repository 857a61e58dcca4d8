"""The chain of one side as parts of a stop instance: links, and bushes with the pitch, renewed together, turned in between.

See docs/explanation/plan-of-a-machine.md.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.judge.bridged import Done, Passing, Turning
from pitchline.judge.draft import Draft
from pitchline.judge.stage_costs import StageCosts, TurnLate
from pitchline.money.cost import Cost
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.lives import NEW_SIZE_SHARE, TURNED_START
from pitchline.outlook.paths import FloatArray
from pitchline.outlook.renewed import as_new, on_other_face, share_left
from pitchline.stops.along import TURN_LATE, WORN
from pitchline.stops.instance import Component, Rule, RuleKind, StageJob
from pitchline.stops.jobs import pieces_at
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying

REPLACE, TURN = JobKind.REPLACE.value, JobKind.TURN.value
HALF = 0.5
"""Share of a chain's worth that is its bushes', and of the bushes' worth that is one face's: our own assumption."""
RAILS = 0.25
"""Share of a chain that rails past their limit can ruin; the rest its bushes and pins can, half of it by a turn missed: our own
assumption."""
TURNS = (("first face", "turned"), ("new", "new, turned"))


def add_chain(draft: Draft, costs: StageCosts, side: Side) -> set[int]:
    """Put one side's chain into a draft.

    Parameters
    ----------
    draft : Draft
        What is planned so far; it grows.
    costs : StageCosts
        The machine's chances and prices.
    side : Side
        Which side.

    Returns
    -------
    set of int
        Places among the outlook's parts that are settled by it.
    """
    mine = {
        part.life.measurand: member
        for member, part in enumerate(costs.outlook.parts)
        if part.life.traces
        and part.life.place.side is side
        and part.life.place.part in (PartKind.LINK, PartKind.BUSH, PartKind.CHAIN)
    }
    if mine:
        cost = costs.cost(JobKind.REPLACE, Place(PartKind.CHAIN, side))
        if cost.price is None:
            draft.left_out.append(saying("price.job_not_on_list", part=PartKind.CHAIN, job=JobKind.REPLACE))
        else:
            _Chain(draft, costs, side, cost, cost.price.usual).add(mine)
    return set(mine.values())


@dataclass(frozen=True, slots=True)
class _Chain:
    """One side's chain: what it costs, and where it is put."""

    draft: Draft
    costs: StageCosts
    side: Side
    cost: Cost
    price: float

    @property
    def place(self) -> Place:
        return Place(PartKind.CHAIN, self.side)

    @property
    def bushes(self) -> Place:
        return Place(PartKind.BUSH, self.side)

    def add(self, mine: dict[Measurand, int]) -> None:
        rail, bush = mine.get(Measurand.RAIL_HEIGHT), mine.get(Measurand.BUSH_OD_FORWARD)
        pitch = mine.get(Measurand.PITCH)
        both = rail is not None and (bush is not None or pitch is not None)
        share, made = HALF if both else 1.0, []
        life_h = min((self._life_h(member) for member in (rail, bush, pitch) if member is not None), default=0.0)
        rails = None
        if rail is not None:
            rails = rail, self._passing(rail, life_h, share if share == 1.0 else RAILS)
            made.append(self._rail(rail, share, rails[1]))
        if bush is not None or pitch is not None:
            made.append(self._bushes(bush, pitch, share, life_h, rails))
        if both:
            self.draft.rules.append(Rule(RuleKind.SAME_TIME, (made[0], REPLACE), (made[1], REPLACE)))

    def _life_h(self, member: int) -> float:
        """How long a new one runs until it breaks the chain: of bushes one face alone, because nobody turns what is run on."""
        part = self.costs.outlook.parts[member].life
        faces = 1 + part.line.limit.turn_at if part.measurand is Measurand.BUSH_OD_FORWARD else 1.0
        return self.costs.lives[member].as_new_h / faces

    def _passing(self, member: int, life_h: float, ruined: float) -> Passing:
        """A chain that broke is renewed whole, whether its rails or its bushes broke it."""
        return self.costs.passing(self.cost, member, self._with_it(), life_h).of(ruined)

    def _rail(self, member: int, share: float, passing: Passing) -> str:
        costs, part, worth = self.costs, Place(PartKind.LINK, self.side).key, share * self.price
        made = [
            costs.stage(name, [one], passing, costs.credit(worth, one))
            for name, one in (("current", costs.todays(member)), ("new", as_new(costs.outlook, member)))
        ]
        stages, renewals = zip(*made, strict=True)
        jobs = self._renewing(len(stages), 1, costs.cost_by_step(self.cost))
        early = costs.early_per_h(self.cost, member)
        named = saying("plan.links", side=self.side)
        self.draft.add(Component(part, stages, jobs), named, (member,), passing, early, renewals)
        self._keeps(part, REPLACE, [(0, costs.todays(member, WORN)), (1, as_new(costs.outlook, member, WORN))])
        self.draft.done[part, REPLACE] = self._done()
        return part

    def _with_it(self) -> float:
        """What a new chain brings: its sprocket, the track opened and the shoes bolted over."""
        costs = self.costs
        sprocket = costs.cost(JobKind.REPLACE, Place(PartKind.SPROCKET, self.side))
        bolted = costs.bolted_over(self.side)
        opening = costs.prices.stop.opening_per_side if costs.prices.stop is not None else None
        shod = sum(bolted.cost) / costs.steps if bolted is not None else 0.0
        return (sprocket.price.usual if sprocket.price is not None else 0.0) + shod + (opening or 0.0)

    def _keeps(self, part: str, job: str, worn: Sequence[tuple[int, Crossing]]) -> None:
        """No job from a stage before enough of that life is used."""
        for stage, reached in worn:
            steps = (
                self.costs.first_step(reached),
                self.draft.not_before.get((part, job, stage), self.costs.steps),
            )
            self.draft.not_before[part, job, stage] = min(steps)

    def _done(self) -> Done:
        return Done(JobKind.REPLACE, self.place, pieces_at(JobKind.REPLACE, PartKind.CHAIN, self.costs.gear))

    def _renewing(self, stages: int, new: int, by_step: tuple[float, ...]) -> tuple[StageJob, ...]:
        opened = self.costs.opened(JobKind.REPLACE, self.place)
        bolted = self.costs.bolted_over(self.side)
        opened = opened if bolted is None else (*opened, bolted.name)
        return tuple(StageJob(REPLACE, stage, new, by_step, opened) for stage in range(stages))

    def _bushes(
        self, bush: int | None, pitch: int | None, share: float, life_h: float, rails: tuple[int, Passing] | None
    ) -> str:
        """Bushes and pitch: on the first face, turned, new, and turned again; a turn brings the pitch back."""
        part, costs, paid = Place(PartKind.BUSH, self.side).key, self.costs, rails is None
        turn = costs.cost(JobKind.TURN, self.bushes)
        turnable = bush is not None and costs.outlook.parts[bush].to_turn is not None
        can_turn = turn.price is not None and bush is not None
        if bush is not None and turn.price is None:
            self.draft.left_out.append(saying("plan.turn_not_on_list"))
        members = tuple(member for member in (bush, pitch) if member is not None)
        # By the limit of a face that could have been turned half a chain is lost already.
        ruined = 1.0 if paid else 1 - RAILS
        lost = {late: self._passing(members[0], life_h, ruined - HALF * late) for late in (True, False)}
        faces = self._faces(bush, turnable, can_turn)
        made, names = [], [name for name, _, _ in faces]
        for number, (name, limits, late) in enumerate(faces):
            here = limits if pitch is None else [*limits, self._pitch(pitch, number == 0)]
            self.draft.stops_by(part, number, costs.stop_step(dict(zip(members, here, strict=True))))
            worth = self._worth_of_faces(share * self.price, here, late)
            beside = None
            if rails is not None:
                of_new = as_new(costs.outlook, rails[0])
                beside = (of_new if number >= names.index("new") else costs.todays(rails[0]), rails[1])
            made.append(costs.stage(name, here, lost[late is not None], worth, late, beside))
            self._keeps(part, REPLACE, [(number, replace(one, level=np.array([WORN]))) for one in here])
        stages, renewals = zip(*made, strict=True)
        by_step = costs.cost_by_step(self.cost) if paid else (0.0,) * costs.steps
        jobs = self._renewing(len(names), names.index("new"), by_step)
        early = share * costs.early_per_h(self.cost, members[0])
        if can_turn and bush is not None:
            jobs += self._turns(part, bush, turn, names)
        named, passing = saying("plan.part", place=self.bushes), lost[faces[0][2] is not None]
        self.draft.add(Component(part, stages, jobs), named, members, passing, early, renewals)
        self.draft.done[part, REPLACE] = self._done() if paid else None
        return part

    def _faces(
        self, bush: int | None, turnable: bool, can_turn: bool
    ) -> list[tuple[str, list[Crossing], TurnLate | None]]:
        def face(name: str, which: str, to_turn: bool) -> tuple[str, list[Crossing], TurnLate | None]:
            if bush is None:
                return name, [], None
            limit = self._face_until(bush, which, 1.0)
            return name, [limit], self._late(bush, which, limit) if to_turn else None

        first = face("first face" if turnable else "current", "now", can_turn and turnable)
        if not can_turn:
            return [first, face("new", "new", False)]
        turned = [face("turned", "turned", False)] if turnable else []
        return [first, *turned, face("new", "new", True), face("new, turned", "new, turned", False)]

    def _turns(self, part: str, bush: int, turn: Cost, names: list[str]) -> tuple[StageJob, ...]:
        """Turns of today's bushes and of new ones."""
        costs, draft = self.costs, self.draft
        by_step, opened = costs.cost_by_step(turn), costs.opened(JobKind.TURN, self.bushes)
        pieces = pieces_at(JobKind.TURN, PartKind.BUSH, costs.gear, self.side)
        draft.done[part, TURN] = Done(JobKind.TURN, self.bushes, pieces)
        pairs = [(names.index(before), names.index(after)) for before, after in TURNS if before in names]
        turn_at = WORN * costs.outlook.parts[bush].life.line.limit.turn_at
        for (before, _), which in zip(TURNS, ("now", "new"), strict=True):
            if before in names:
                self._keeps(part, TURN, [(names.index(before), self._face_until(bush, which, turn_at))])
        if TURNS[0][0] in names:
            point = costs.outlook.parts[bush].life.line.limit.turn_at
            draft.turn_by[part] = costs.first_step(costs.todays(bush, point + TURN_LATE * (1 - point)))
            draft.turning[part] = Turning(bush, *self._lost_per_h(bush))
        return tuple(StageJob(TURN, before, after, by_step, opened) for before, after in pairs)

    def _worth_of_faces(
        self, price: float, limits: list[Crossing], late: TurnLate | None
    ) -> Callable[[FloatArray], FloatArray]:
        """Half the worth for each face: the other one is there in full until the turn point, and lost at the limit."""
        if late is None:
            return self.costs.credit(HALF * price, limits[0])
        turn_at = float(late.from_turn.level[0])

        def worth(hours_h: FloatArray) -> FloatArray:
            other = np.minimum(share_left(late.to_limit, hours_h) / (1 - turn_at), 1.0)
            return np.asarray(HALF * price * (share_left(late.from_turn, hours_h) + other))

        return worth

    def _late(self, bush: int, which: str, limit: Crossing) -> TurnLate:
        """From the turn point on, the turn's worth is lost hour by hour up to the limit."""
        outlook = self.costs.outlook
        turn_at = float(outlook.dues.level[outlook.rows[bush]])
        level = turn_at if turn_at < 1.0 else outlook.parts[bush].life.line.limit.turn_at
        return TurnLate(self._face_until(bush, which, level), limit, self._lost_per_h(bush)[0])

    def _lost_per_h(self, bush: int) -> tuple[float, float]:
        """The worth of the other face, half a chain, spread over the hours from the turn point to the limit; and those hours."""
        turn_at = self.costs.outlook.parts[bush].life.line.limit.turn_at
        rest_h = max(self.costs.lives[bush].as_new_h / (1 + turn_at) * (1 - turn_at), 1.0)
        return HALF * self.price / rest_h, rest_h

    def _face_until(self, bush: int, which: str, level: float) -> Crossing:
        if which == "now":
            return self.costs.todays(bush, level)
        if which == "turned":
            return replace(on_other_face(self.costs.outlook, bush), level=np.array([level]))
        return as_new(self.costs.outlook, bush, level, NEW_SIZE_SHARE if which == "new" else TURNED_START)

    def _pitch(self, member: int, now: bool) -> Crossing:
        return self.costs.todays(member) if now else as_new(self.costs.outlook, member)
