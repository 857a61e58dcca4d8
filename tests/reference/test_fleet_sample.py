"""Coverage on a simulated fleet of 300 machines, each judged alone, with typical lives that are wrong.

Source: tests/data/fleet-sample, made outside this project's code, with the true hours left beside the readings. The typical lives
used are the fleet's own (from truth.csv), each multiplied by a factor drawn between 0.7 and 1.3, afresh for each machine.
"""

import csv
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from pitchline.outlook.constants import weak_priors
from pitchline.outlook.crossing import crossing
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import constants_for
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import believe

FOLDER = Path(__file__).parents[1] / "data" / "fleet-sample"


def rows(name):
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


class Fleet:
    """The sample's tables, by machine."""

    def __init__(self):
        self.parts, self.spans, self.readings = defaultdict(list), defaultdict(list), defaultdict(list)
        for row in rows("parts.csv"):
            self.parts[row["machine"]].append(row)
        for row in rows("grounds.csv"):
            self.spans[row["machine"]].append((float(row["from_h"]), float(row["to_h"]), int(row["ground"])))
        for row in rows("readings.csv"):
            key = (row["machine"], row["position"], row["part_no"])
            self.readings[key].append((float(row["meter_h"]), float(row["wear_mm"]), float(row["u_mm"])))
        self.truth = {(row["machine"], row["position"]): row for row in rows("truth.csv")}
        self.kinds = sorted({row["kind"] for parts in self.parts.values() for row in parts})
        self.lives_h = self._lives_h()

    def _lives_h(self):
        logs = defaultdict(list)
        kind_of = {(m, row["position"]): row["kind"] for m, parts in self.parts.items() for row in parts}
        for place, row in self.truth.items():
            logs[kind_of[place]].append(-float(row["log_rate_frac_per_h"]))
        return np.array([np.exp(np.mean(logs[kind])) for kind in self.kinds])

    def hours(self, machine, from_h, to_h):
        hours = np.zeros(GROUNDS)
        for start, end, ground in self.spans[machine]:
            hours[ground] += max(0.0, min(to_h, end) - max(from_h, start))
        return hours

    def life(self, row, now_h):
        machine, allowance = row["machine"], float(row["allowance_mm"])
        known = row["fitted_h"] != ""
        read = sorted(self.readings[machine, row["position"], row["part_no"]])
        marks = [float(row["fitted_h"]) if known else 0.0, *(hours for hours, _, _ in read)]
        steps = [self.hours(machine, a, b) for a, b in pairwise(marks)]
        return PartLife(
            self.kinds.index(row["kind"]),
            float(row["u_new_mm"]) / allowance,
            known,
            True,
            np.array(steps).reshape(-1, GROUNDS),
            np.array([wear / allowance for _, wear, _ in read]),
            np.array([u / allowance for _, _, u in read]),
            self.hours(machine, marks[-1], now_h),
        )


@pytest.fixture(scope="module")
def judged_alone():
    """Hours left at 10, 50 and 90 % with the truth, for every newest part not past its limit."""
    fleet, rng, found = Fleet(), np.random.default_rng(20261125), []
    for machine, parts in fleet.parts.items():
        first = fleet.truth[machine, parts[0]["position"]]
        now_h, ground = float(first["last_meter_h"]), int(first["ground_now"])
        lives_h = fleet.lives_h * rng.uniform(0.7, 1.3, len(fleet.kinds))
        priors = weak_priors(lives_h, np.full(len(fleet.kinds), 0.5))
        paths = stack([fleet.life(row, now_h) for row in parts])
        beliefs = believe(paths, constants_for(paths, priors, Habits(), ground), Habits())
        hours = crossing(beliefs, ground).hours(np.array([0.1, 0.5, 0.9]))
        newest = {
            row["position"]: number
            for number, row in sorted(enumerate(parts), key=lambda at: int(at[1]["part_no"]))
        }
        for position, number in newest.items():
            truth = fleet.truth[machine, position]
            if truth["past_limit"] == "0":
                found.append((*hours[number], float(truth["hours_left"])))
    return np.array(found)


def test_eighty_percent_range_covers_75_to_85_percent(judged_alone):
    """Parts not past their limit; the issue asks for 75 to 85 %."""
    low, _, high, truth = judged_alone.T
    assert judged_alone.shape[0] > 4000
    assert 0.75 <= np.mean((low <= truth) & (truth <= high)) <= 0.85


def test_ranges_are_not_lopsided(judged_alone):
    """The middle figure lies above the truth about as often as below; each tail holds about a tenth."""
    low, middle, high, truth = judged_alone.T
    assert 0.45 <= np.mean(truth < middle) <= 0.55
    assert 0.07 <= np.mean(truth < low) <= 0.15
    assert 0.07 <= np.mean(truth > high) <= 0.15
