"""Invented stop instances for the bench: sides of running gear with lives, prices and a season drawn at random.

Every figure here is invented; ranges are wide on purpose and speak of no machine.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance

Floats = npt.NDArray[np.float64]
HORIZON_H = 12_000.0
NEW, AGAIN = "new", "again"


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of part: job cost, life as new and its spread, loss when the limit is passed, loss an hour past it."""

    name: str
    cost: float
    life_h: float
    spread: float
    loss_share: float
    loss_per_h: float
    opens: bool


KINDS = (
    Kind("rail", 6500.0, 4900.0, 0.25, 0.45, 3.5, True),
    Kind("bush", 2300.0, 2400.0, 0.18, 0.8, 2.5, True),
    Kind("shoe", 3000.0, 5600.0, 0.25, 0.25, 0.9, False),
    Kind("bottom", 3000.0, 4500.0, 0.2, 0.5, 1.6, False),
    Kind("upper", 800.0, 4100.0, 0.4, 0.2, 0.25, False),
    Kind("idler", 1700.0, 5200.0, 0.25, 0.3, 1.0, True),
    Kind("sprocket", 1150.0, 3600.0, 0.15, 0.3, 0.7, True),
)


@dataclass(frozen=True, slots=True)
class Life:
    """What is believed of one stage's life: lognormal, so many hours gone already; or known to be past its limit."""

    middle_h: float
    spread: float
    gone_h: float = 0.0
    past: bool = False

    def passed(self, hours: Floats) -> Floats:
        """Chance that the limit is passed within so many hours from now."""
        if self.past:
            return np.ones_like(hours)
        alive = 1 - self._chance(self.gone_h)
        return np.clip((self._chance(self.gone_h + hours) - (1 - alive)) / max(alive, 1e-12), 0, 1)

    def _chance(self, age_h: Floats | float) -> Floats:
        return np.asarray(ndtr(np.log(np.maximum(age_h, 1e-9) / self.middle_h) / self.spread))


@dataclass(frozen=True, slots=True)
class Piece:
    """One part of one machine: what it costs and how long it lasts."""

    kind: Kind
    side: str
    price: float
    life_h: float
    spread: float
    again_h: float
    lighter: float
    worth: float

    @property
    def name(self) -> str:
        return f"{self.kind.name}_{self.side}"

    @property
    def second_life(self) -> str:
        """The job that gives a second life, or nothing."""
        return {"bush": "turn", "shoe": "weld"}.get(self.kind.name, "")

    def fresh(self, stage: str) -> Life:
        return Life(self.life_h if stage == NEW else self.again_h, self.spread)


@dataclass(frozen=True, slots=True)
class Yard:
    """Prices and season common to a machine's parts, over a number of steps."""

    step_h: float
    season: Floats
    stop: Floats
    opening: float
    hours_per_year: float
    rate: float


def _figures(amounts: Floats) -> tuple[float, ...]:
    return tuple(map(float, amounts))


def stage_of(name: str, life: Life, piece: Piece, steps: int, step_h: float, worth: float) -> Stage:
    chance = np.maximum.accumulate(life.passed(np.arange(steps + 1) * step_h))
    loss = piece.kind.loss_share * piece.price * np.diff(chance)
    penalty = loss + piece.kind.loss_per_h * step_h * (chance[1:] + chance[:-1]) / 2
    left = np.maximum(1 - (life.gone_h + np.arange(steps + 1) * step_h) / life.middle_h, 0) * (1 - chance)
    return Stage(name, _figures(chance), _figures(penalty), _figures(worth * left))


def component_of(piece: Piece, current: Life, stands: str, yard: Yard, ties: bool) -> Component:
    """The part as it stands today, with its stages and jobs."""
    steps, groups = len(yard.season), (f"open_{piece.side}",) if piece.kind.opens else ()

    def stage(name: str, life: Life, worth: float) -> Stage:
        return stage_of(name, life, piece, steps, yard.step_h, worth)

    stages, jobs = [stage("current", current, piece.worth), stage(NEW, piece.fresh(NEW), piece.worth)], []
    if piece.second_life:
        stages.append(stage(AGAIN, piece.fresh(AGAIN), piece.worth / 2))
        cost = _figures(piece.lighter * yard.season)
        starts = (0, 1) if stands == NEW else (1,)
        jobs += [StageJob(piece.second_life, start, 2, cost, groups) for start in starts]
    chain = ties and piece.kind.name in ("rail", "bush")
    whole = 0.0 if ties and piece.kind.name == "bush" else piece.price
    cost = _figures(whole * yard.season)
    word = "replace_chain" if chain else "replace"
    jobs += [StageJob(word, start, 1, cost, groups) for start in range(len(stages))]
    return Component(piece.name, tuple(stages), tuple(jobs))


def piece_of(kind: Kind, side: str, rng: np.random.Generator, worth: bool = True) -> Piece:
    price = kind.cost * rng.uniform(0.8, 1.25)
    life_h = kind.life_h * rng.lognormal(0, 0.3)
    lighter = price if kind.name == "bush" else price * rng.uniform(0.55, 0.75)
    spread, again_h = kind.spread * rng.uniform(0.8, 1.25), life_h * rng.uniform(0.55, 0.9)
    return Piece(kind, side, price, life_h, spread, again_h, lighter, price * rng.uniform(0.3, 0.6) * worth)


def yard_of(steps: int, step_h: float, rng: np.random.Generator) -> Yard:
    hours = float(rng.uniform(1200, 2600))
    year = step_h * np.arange(steps) / hours
    season = 1 + rng.uniform(0.02, 0.12) * np.cos(2 * np.pi * (year - rng.uniform()))
    stop = rng.uniform(2000, 7000) * season * rng.uniform(0.98, 1.02, steps)
    return Yard(step_h, season, stop, float(rng.uniform(500, 1500)), hours, float(rng.uniform(0.02, 0.12)))


def instance_of(name: str, parts: list[Component], yard: Yard, sides: str, ties: bool) -> StopInstance:
    steps = len(yard.season)
    chain = [(f"rail_{side}", "replace_chain") for side in sides] if ties else []
    rules = [
        rule
        for rail in chain
        for rule in (
            Rule(RuleKind.SAME_TIME, rail, (f"bush_{rail[0][-1]}", "replace_chain")),
            Rule(RuleKind.A_NEEDS_B, rail, (f"sprocket_{rail[0][-1]}", "replace")),
        )
    ]
    groups = tuple(Group(f"open_{side}", (yard.opening,) * steps) for side in sides)
    stop = _figures(yard.stop)
    money = (yard.hours_per_year, yard.rate, stop)
    return StopInstance(name, steps, yard.step_h, *money, groups, tuple(parts), tuple(rules))


def invented(
    seed: int, steps: int = 60, ties: bool = True, sides: str = "LR", horizon_h: float = HORIZON_H
) -> StopInstance:
    """One instance of seven parts a side."""
    rng = np.random.default_rng((seed, steps, int(ties), int(horizon_h)))
    yard = yard_of(steps, horizon_h / steps, rng)
    parts = []
    for side in sides:
        for kind in KINDS:
            piece = piece_of(kind, side, rng)
            stands = AGAIN if piece.second_life and rng.uniform() < 0.3 else NEW
            fresh = piece.fresh(stands)
            today = Life(fresh.middle_h, 0.8 * fresh.spread, fresh.middle_h * rng.uniform(0.0, 0.95))
            parts.append(component_of(piece, today, stands, yard, ties))
    return instance_of(f"{'tied' if ties else 'free'}-{steps}-{seed}", parts, yard, sides, ties)
