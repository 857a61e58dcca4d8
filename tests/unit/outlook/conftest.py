"""A simulator of yards, straight from the wear model and apart from the code that is tested."""

from dataclasses import dataclass

import numpy as np
import pytest

from pitchline.outlook.paths import GROUNDS, PartLife, Paths, stack

LIVES_H = (6000.0, 5000.0, 4000.0)
GROUND = np.array([-0.5, -0.25, 0.0, 0.25, 0.5])
MACHINE_SPREAD, PART_SPREAD, NOISE, START_U = 0.30, 0.22, 0.004, 0.02


@dataclass(frozen=True)
class Yard:
    """Wear paths of a simulated yard, with the meter hours each part was fitted at (0 where that is not known)."""

    paths: Paths
    start_h: np.ndarray
    kinds: tuple[str, ...] = ("rail", "bush", "roller")


class Simulator:
    """Draws yards in which everything the model assumes is true."""

    def __init__(self, seed):
        self.rng = np.random.default_rng(seed)

    def ground_hours(self, hours):
        found = np.zeros(GROUNDS)
        found[self.rng.integers(0, GROUNDS)] = hours
        return found

    def worn(self, rate, hours):
        """Wear gained: a gamma process with the mean rate and the noise of the model."""
        growth = rate * float(hours @ np.exp(GROUND))
        return self.rng.gamma(growth / NOISE, NOISE) if growth > 0 else 0.0

    def part(self, kind, machine_effect, marks_h, known, u):
        """One part from its fitting at marks_h[0] through readings at the other marks."""
        rate = np.exp(-np.log(LIVES_H[kind]) + machine_effect + self.rng.normal(0, PART_SPREAD))
        steps = [self.ground_hours(hours) for hours in np.diff(marks_h)]
        true = self.rng.normal(0, START_U) + np.cumsum([self.worn(rate, step) for step in steps])
        read = true + self.rng.normal(0, u, true.size)
        step_h = np.array(steps).reshape(-1, GROUNDS)
        return PartLife(kind, START_U, known, True, step_h, read, np.full(true.size, u), np.zeros(GROUNDS))

    def yard(self, machines=40, parts=6, walks=3, known=0.8, u=0.04):
        """Parts new at hour 0; some of them without a record of it, which is then the meter's zero all the same."""
        lives, numbers = [], []
        for machine in range(machines):
            effect = self.rng.normal(0, MACHINE_SPREAD)
            marks = np.cumsum([0.0, *self.rng.uniform(500, 1200, walks)])
            for number in range(parts):
                known_now = bool(self.rng.random() < known)
                lives.append(self.part(number % 3, effect, marks, known_now, u))
                numbers.append(machine)
        return Yard(stack(lives, numbers), np.zeros(len(lives)))


@pytest.fixture
def simulator():
    """A factory of simulators by seed."""
    return Simulator
