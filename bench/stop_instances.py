"""Invented stop instances for the bench: two sides of running gear with lives, prices and a season drawn at random.

Every figure here is invented; ranges are wide on purpose and speak of no machine.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance

Floats = npt.NDArray[np.float64]
HORIZON_H = 12_000.0


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
    Kind("rail", 6500.0, 6500.0, 0.25, 0.45, 3.5, True),
    Kind("bush", 2300.0, 3200.0, 0.18, 0.8, 2.5, True),
    Kind("shoe", 3000.0, 7500.0, 0.25, 0.25, 0.9, False),
    Kind("bottom", 3000.0, 6000.0, 0.2, 0.5, 1.6, False),
    Kind("upper", 800.0, 5500.0, 0.4, 0.2, 0.25, False),
    Kind("idler", 1700.0, 7000.0, 0.25, 0.3, 1.0, True),
    Kind("sprocket", 1150.0, 4800.0, 0.15, 0.3, 0.7, True),
)


@dataclass(frozen=True, slots=True)
class Life:
    """One stage's life: lognormal, of which a share is gone already."""

    middle_h: float
    spread: float
    gone_h: float

    def passed(self, hours: Floats) -> Floats:
        """Chance that the limit is passed within so many hours from now."""

        def cdf(at: Floats | float) -> Floats:
            return np.asarray(ndtr(np.log(np.maximum(at, 1e-9) / self.middle_h) / self.spread))

        alive = 1 - cdf(self.gone_h)
        return np.clip((cdf(self.gone_h + hours) - cdf(self.gone_h)) / alive, 0, 1)


def _stage(name: str, life: Life, kind: Kind, worth: float, steps: int, step_h: float, price: float) -> Stage:
    chance = np.maximum.accumulate(life.passed(np.arange(steps + 1) * step_h))
    loss, per_h = kind.loss_share * price, kind.loss_per_h
    penalty = loss * np.diff(chance) + per_h * step_h * (chance[1:] + chance[:-1]) / 2
    left = np.maximum(1 - (life.gone_h + np.arange(steps + 1) * step_h) / life.middle_h, 0) * (1 - chance)
    return Stage(name, *(tuple(map(float, figures)) for figures in (chance, penalty, worth * left)))


def _part(kind: Kind, side: str, step_h: float, season: Floats, rng: np.random.Generator, ties: bool) -> Component:
    steps, price = len(season), kind.cost * rng.uniform(0.8, 1.25)
    life_h = 0.75 * kind.life_h * rng.lognormal(0, 0.3)
    gone = life_h * rng.uniform(0.0, 0.95)
    spread = kind.spread * rng.uniform(0.8, 1.25)
    cost = tuple(map(float, price * season))
    groups = (f"open_{side}",) if kind.opens else ()
    worth = price * rng.uniform(0.3, 0.6)
    new = _stage("new", Life(life_h, spread, 0.0), kind, worth, steps, step_h, price)
    current = _stage("current", Life(life_h, spread * 0.8, gone), kind, worth, steps, step_h, price)
    stages, jobs = [current, new], []
    if kind.name in ("bush", "shoe"):
        again = life_h * rng.uniform(0.55, 0.9)
        stages.append(_stage("again", Life(again, spread, 0.0), kind, worth / 2, steps, step_h, price))
        word = "turn" if kind.name == "bush" else "weld"
        lighter = tuple(map(float, price * rng.uniform(0.55, 0.75) * season)) if kind.name == "shoe" else cost
        jobs += [StageJob(word, stage, 2, lighter, groups) for stage in (0, 1)]
    name = "replace_chain" if kind.name in ("rail", "bush") and ties else "replace"
    if kind.name == "bush":
        cost = (0.0,) * steps if ties else tuple(map(float, 1.5 * price * season))
    jobs += [StageJob(name, stage, 1, cost, groups) for stage in range(len(stages))]
    return Component(f"{kind.name}_{side}", tuple(stages), tuple(jobs))


def invented(
    seed: int, steps: int = 60, ties: bool = True, sides: str = "LR", horizon_h: float = HORIZON_H
) -> StopInstance:
    """One instance of seven parts a side."""
    rng, step_h = np.random.default_rng((seed, steps, int(ties))), horizon_h / steps
    year = step_h * np.arange(steps) / (hours := rng.uniform(1200, 2600))
    season = 1 + rng.uniform(0.02, 0.12) * np.cos(2 * np.pi * (year - rng.uniform()))
    stop = tuple(map(float, rng.uniform(2000, 7000) * season * rng.uniform(0.98, 1.02, steps)))
    opening = rng.uniform(500, 1500)
    parts = [_part(kind, side, step_h, season, rng, ties) for side in sides for kind in KINDS]
    rules = [
        rule
        for side in sides
        for rule in (
            Rule(RuleKind.SAME_TIME, (f"rail_{side}", "replace_chain"), (f"bush_{side}", "replace_chain")),
            Rule(RuleKind.A_NEEDS_B, (f"rail_{side}", "replace_chain"), (f"sprocket_{side}", "replace")),
        )
    ]
    groups = tuple(Group(f"open_{side}", (float(opening),) * steps) for side in sides)
    rate = float(rng.uniform(0.02, 0.12))
    name = f"{'tied' if ties else 'free'}-{steps}-{seed}"
    return StopInstance(
        name, steps, step_h, float(hours), rate, stop, groups, tuple(parts), tuple(rules) if ties else ()
    )
