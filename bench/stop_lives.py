"""The honest test of a plan: simulate lives, plan again after every walk-round, and pay what really happens.

Every way of planning sees the same machines, the same lives and the same readings.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from stop_instances import AGAIN, KINDS, NEW, Life, Piece, Yard, component_of, instance_of, piece_of, yard_of

from pitchline.stops.instance import StopInstance

STEPS, STEP_H, EVERY = 60, 200.0, 5
READING_SPREAD = 0.2
"""Standard deviation of the log of life that one walk-round's reading tells."""
Jobs = list[tuple[int, str, str]]
"""Step, part, job."""
Planner = Callable[[StopInstance], Jobs]
"""From an instance to jobs."""


@dataclass(slots=True)
class Truth:
    """One part's true life in its present stage, and what is believed of it."""

    piece: Piece
    stage: str
    entered_step: int
    gone_h: float
    life_h: float
    log_mean: float
    log_spread: float
    lost: bool = False

    def age_h(self, step: int) -> float:
        return self.gone_h + (step - self.entered_step) * STEP_H


@dataclass(slots=True)
class Machine:
    """One simulated machine. Lives and readings come from a stream of their own for each part and stage number."""

    seed: int
    sides: str = "L"
    truths: list[Truth] = field(default_factory=list)
    yard: Yard = field(init=False)
    count: list[int] = field(init=False)

    def __post_init__(self) -> None:
        rng = np.random.default_rng((self.seed, 1))
        self.yard = yard_of(STEPS, STEP_H, rng)
        pieces = [piece_of(kind, side, rng, worth=False) for side in self.sides for kind in KINDS]
        self.count = [0] * len(pieces)
        for index, piece in enumerate(pieces):
            gone = piece.life_h * float(rng.uniform(0, 0.9))
            self.truths.append(self._fresh(index, piece, NEW, 0, gone))

    def _fresh(self, index: int, piece: Piece, stage: str, step: int, gone_h: float = 0.0) -> Truth:
        rng = np.random.default_rng((self.seed, 2, index, self.count[index]))
        self.count[index] += 1
        fresh, life_h = piece.fresh(stage), 0.0
        while life_h <= gone_h:
            life_h = float(fresh.middle_h * np.exp(fresh.spread * rng.standard_normal()))
        return Truth(piece, stage, step, gone_h, life_h, float(np.log(fresh.middle_h)), fresh.spread)

    def walk_round(self, step: int) -> None:
        """Read every part that is not known to be past its limit."""
        for index, truth in enumerate(self.truths):
            if truth.lost:
                continue
            rng = np.random.default_rng((self.seed, 3, index, self.count[index], step))
            said = np.log(truth.life_h) + READING_SPREAD * rng.standard_normal()
            known, new = truth.log_spread**-2, READING_SPREAD**-2
            truth.log_mean = (known * truth.log_mean + new * said) / (known + new)
            truth.log_spread = (known + new) ** -0.5

    def instance(self, step: int) -> StopInstance:
        """What is left to plan from a step on, as it is believed to be."""
        yard = Yard(
            STEP_H,
            self.yard.season[step:],
            self.yard.stop[step:],
            self.yard.opening,
            self.yard.hours_per_year,
            self.yard.rate,
        )
        parts = []
        for truth in self.truths:
            today = Life(float(np.exp(truth.log_mean)), truth.log_spread, truth.age_h(step), truth.lost)
            parts.append(component_of(truth.piece, today, truth.stage, yard, ties=True))
        return instance_of(f"machine {self.seed}", parts, yard, self.sides, ties=True)

    def worn(self, step: int) -> float:
        """Loss of one step in service: limits passed in it, and hours run past them."""
        loss = 0.0
        for truth in self.truths:
            before, after = truth.age_h(step), truth.age_h(step + 1)
            past = max(0.0, after - max(truth.life_h, before))
            if not truth.lost and after >= truth.life_h:
                truth.lost = True
                loss += truth.piece.kind.loss_share * truth.piece.price
            loss += truth.piece.kind.loss_per_h * past
        return loss

    def done(self, step: int, jobs: list[tuple[str, str]]) -> float:
        """Cost of a stop with these jobs."""
        if not jobs:
            return 0.0
        cost, opened = float(self.yard.stop[step]), set()
        number = {truth.piece.name: index for index, truth in enumerate(self.truths)}
        for part, job in jobs:
            index = number[part]
            piece = self.truths[index].piece
            again = job == piece.second_life
            own = piece.lighter if again else 0.0 if piece.kind.name == "bush" else piece.price
            cost += own * float(self.yard.season[step])
            opened |= {piece.side} if piece.kind.opens else set()
            self.truths[index] = self._fresh(index, piece, AGAIN if again else NEW, step)
        return cost + self.yard.opening * len(opened)


def lived(seed: int, planner: Planner) -> float:
    """Present cost of one machine's whole horizon under one way of planning."""
    machine, total = Machine(seed), 0.0
    worth = (1 + machine.yard.rate) ** (-STEP_H / machine.yard.hours_per_year)
    plan: Jobs = []
    for step in range(STEPS):
        if step % EVERY == 0:
            machine.walk_round(step)
            plan = [(step + at, part, job) for at, part, job in planner(machine.instance(step))]
        jobs = [(part, job) for at, part, job in plan if at == step]
        total += machine.done(step, jobs) * worth**step
        total += machine.worn(step) * worth ** (step + 1)
    return total
