"""Fixtures every test may use: one invented machine, and ways to change it."""

import csv
import datetime as dt
import gc
import json
import os
from collections import defaultdict
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import settings

from judged_once import judge_once
from pitchline.demo.yard import build_yard
from pitchline.exchange.stop_instance import instance_from_json
from pitchline.money.prices import PriceLine, PriceList
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.trade.dossier import Dossier, Event, Limit, PartEvent, Utilisation
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound

LEFT, RIGHT = Side.LEFT, Side.RIGHT
collect_ignore = ["desk_settings.py"]  # it makes a folder each time it is read

# The same examples on every run, however slow the machine. `make fuzz` goes looking for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("fuzz", derandomize=False, deadline=None, print_blob=True)
settings.load_profile(os.environ.get("PITCHLINE_EXAMPLES", "steady"))


gc.set_threshold(50_000, 20, 50)  # looking for rubbish among what is kept to the end took a tenth of all tests


def pytest_collection_finish():
    """What was collected is no rubbish, and is not looked through again."""
    gc.collect()
    gc.freeze()


def pytest_addoption(parser):
    parser.addoption(
        "--renew-drawings", action="store_true", help="write the pinned drawings of tests/data/picture anew"
    )


@pytest.fixture(scope="session")
def steel_gear():
    """An invented steel running gear: 45 joints of 200 mm, five bottom rollers and one upper roller a side."""
    return RunningGear(
        track=TrackKind.STEEL,
        joints_per_side=45,
        pitch_m=0.200,
        shoe_width_m=0.600,
        sprocket_teeth=23,
        sprocket_gaps=SprocketGaps.EVERY_SECOND,
        bottom_rollers_per_side=5,
        upper_rollers_per_side=1,
        two_flange_rollers=(2,),
        grousers_per_shoe=3,
        bolts_per_shoe=4,
        guards=("centre guard",),
        slew_ring=True,
    )


@pytest.fixture(scope="session")
def steel_limits():
    """Invented round limits for that running gear."""
    sizes = (
        (PartKind.CHAIN, Measurand.PITCH, 0.200, 0.206),
        (PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.060, 0.054),
        (PartKind.LINK, Measurand.RAIL_HEIGHT, 0.110, 0.100),
        (PartKind.SHOE, Measurand.GROUSER_HEIGHT, 0.026, 0.012),
        (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.160, 0.144),
        (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS, 0.060, 0.045),
    )
    return tuple(Limit(part, what, new, limit, source="invented") for part, what, new, limit in sizes)


@pytest.fixture(scope="session")
def reading():
    """A factory of readings: part, side, measurand, millimetres, position."""

    def make(part, side, measurand, *mm, position=0, joints=1, tool="calliper", kept_because=""):
        place = Place(part, side, position)
        repeats = tuple(one / 1000 for one in mm)
        return Reading(place, measurand, repeats, DEFAULT_TOOLS[tool], joints, kept_because=kept_because)

    return make


@pytest.fixture(scope="session")
def walk_round(reading, steel_gear):
    """A factory of walk-rounds: everything worn alike, by a share of each allowance, every part looked over."""

    def make(date, service_h, share, *extra, findings=(), sides=(LEFT, RIGHT), passed_by=()):
        readings = list(extra)
        for side in sides:
            readings += [
                reading(PartKind.CHAIN, side, Measurand.PITCH, 4 * (200 + 6 * share), joints=4, tool="tape"),
                reading(PartKind.BUSH, side, Measurand.BUSH_OD_FORWARD, 60 - 6 * share),
                reading(PartKind.LINK, side, Measurand.RAIL_HEIGHT, 110 - 10 * share),
                reading(PartKind.SHOE, side, Measurand.GROUSER_HEIGHT, 26 - 14 * share),
                reading(PartKind.SPROCKET, side, Measurand.TOOTH_THICKNESS, 60 - 15 * share),
            ]
            readings += [
                reading(PartKind.BOTTOM_ROLLER, side, Measurand.TREAD_DIAMETER, 160 - 16 * share, position=number)
                for number in range(1, 6)
            ]
        there = {*passed_by, *(one.place for one in (*readings, *findings))}
        looked = tuple(place for place in steel_gear.places() if place not in there)
        day = dt.date.fromisoformat(date)
        return WalkRound(day, service_h, tuple(readings), tuple(findings), looked_over=looked)

    return make


@pytest.fixture(scope="session")
def dossier(steel_gear, steel_limits, walk_round):
    """An invented excavator: all parts fitted at 1,000 h, two walk-rounds, worn by a fifth and then by a third."""
    fitted = [
        PartEvent(Place(part, side), Event.FITTED_NEW, 1000.0)
        for side in (LEFT, RIGHT)
        for part in (PartKind.CHAIN, PartKind.SHOE, PartKind.BOTTOM_ROLLER, PartKind.SPROCKET)
    ]
    return Dossier(
        machine=Machine("T1", "Test machine", MachineKind.EXCAVATOR, 21_000.0, "invented"),
        gear=steel_gear,
        limits=steel_limits,
        events=tuple(fitted),
        walk_rounds=(walk_round("2026-03-02", 2200.0, 0.20), walk_round("2026-09-07", 3000.0, 0.33)),
        utilisation=Utilisation(25.0, 30.0, 40.0),
    )


@pytest.fixture(scope="session")
def later(dossier, walk_round):
    """A factory of the same machine with a third walk-round."""

    def make(share=0.45, *extra, findings=(), sides=(LEFT, RIGHT), **changes):
        third = walk_round("2026-11-02", 3600.0, share, *extra, findings=findings, sides=sides)
        return replace(dossier, walk_rounds=(*dossier.walk_rounds, third), **changes)

    return make


@pytest.fixture(scope="session")
def worn(dossier, walk_round):
    """A factory of the same machine worn evenly to a share of its limits at 3,600 h, read three times on the way."""

    def make(share, *, sides=(LEFT, RIGHT), **changes):
        visits = (
            ("2026-03-02", 2200.0, 1200 / 2600),
            ("2026-09-07", 3000.0, 2000 / 2600),
            ("2026-11-02", 3600.0, 1.0),
        )
        rounds = tuple(walk_round(date, hours, share * part, sides=sides) for date, hours, part in visits)
        return replace(dossier, walk_rounds=rounds, **changes)

    return make


@pytest.fixture(scope="session")
def prices():
    """An invented price list."""
    lines = (
        PriceLine(JobKind.TURN, PartKind.BUSH, 100.0, 120.0, 150.0, 10.0),
        PriceLine(JobKind.REPLACE, PartKind.CHAIN, 3000.0, 3500.0, 4200.0, 12.0),
        PriceLine(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 150.0, 180.0, 240.0, 1.5),
        PriceLine(JobKind.RESHOE, PartKind.SHOE, 20.0, 24.0, 30.0, 0.1, per="piece"),
        PriceLine(JobKind.REFIT_BOLTS, PartKind.SHOE, 2.0, 3.0, 4.0, 0.05, per="piece"),
    )
    return PriceList("EUR", 50.0, lines, "invented")


@pytest.fixture(scope="session")
def judged_demo():
    """A machine of the demo yard by its number, judged without prices with its newest sheet: each once a run."""
    built = build_yard()
    return cache(lambda number: judge_once(built.machine(number).with_sheet))


@pytest.fixture(scope="session")
def demo_priced():
    """A demo machine judged by the demo yard's prices, by its number."""
    built = build_yard()
    return cache(lambda number: judge_once(built.machine(number).with_sheet, built.prices))


FOLDER = Path(__file__).parent / "data" / "fleet-sample"


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

    def paths(self):
        """All parts as paths, the ground each works on now, and whether it is the newest of its position."""
        lives, machine, ground, newest = [], [], [], []
        for number, (name, parts) in enumerate(self.parts.items()):
            first = self.truth[name, parts[0]["position"]]
            last = {}
            for row in parts:
                last[row["position"]] = max(last.get(row["position"], -1), int(row["part_no"]))
            lives += [self.life(row, float(first["last_meter_h"])) for row in parts]
            newest += [int(row["part_no"]) == last[row["position"]] for row in parts]
            machine += [number] * len(parts)
            ground += [int(first["ground_now"])] * len(parts)
        return stack(lives, machine), np.array(ground), np.array(newest)

    def truth_rows(self):
        """The truth of each part's position, by column, in the order of the paths."""
        found = [self.truth[row["machine"], row["position"]] for parts in self.parts.values() for row in parts]
        return {column: np.array([float(row[column]) for row in found]) for column in found[0]}

    def ground_effects(self):
        """Mean log of remaining wear over remaining hours, less the log rate, of each ground worked on now."""
        effects = [[] for _ in range(GROUNDS)]
        for row in self.truth.values():
            if row["past_limit"] == "0" and float(row["hours_left"]) > 300:
                pace = np.log((1 - float(row["wear_frac_now"])) / float(row["hours_left"]))
                effects[int(row["ground_now"])].append(pace - float(row["log_rate_frac_per_h"]))
        return np.array([np.mean(effect) for effect in effects])


@pytest.fixture(scope="session")
def sample_fleet():
    """A simulated fleet of 300 machines, made outside this project's code; see tests/data/fleet-sample."""
    return Fleet()


@pytest.fixture(scope="session")
def tiny_stops():
    """A factory of the two-part example worked by hand: four steps, A with an end credit, B without."""

    def stages(current, new, credit):
        none = (0.0,) * 5
        return (Stage("current", none, current, none), Stage("new", none, new, credit))

    def make(stop=4.0, discount=0.0, names=("A", "B"), scale=1.0):
        first = Component(
            names[0],
            stages((0.0, 2.0 * scale, 8.0 * scale, 20.0 * scale), (0.0, scale, 2.0 * scale, 8.0 * scale),
                   tuple(scale * each for each in (5.0, 3.0, 1.0, 0.0, 0.0))),
            tuple(StageJob("replace", stage, 1, (12.0 * scale,) * 4) for stage in (0, 1)),
        )  # fmt: skip
        second = Component(
            names[1],
            stages((0.0, 5.0 * scale, 9.0 * scale, 14.0 * scale), (0.0, 0.0, scale, 4.0 * scale), (0.0,) * 5),
            tuple(StageJob("replace", stage, 1, (6.0 * scale,) * 4) for stage in (0, 1)),
        )
        return StopInstance("tiny", 4, 1.0, 1.0, discount, (stop * scale,) * 4, (), (first, second), ())

    return make


@pytest.fixture(scope="session")
def shared_stops():
    """Eight invented instances with proven optimum, by name: the raw object beside the instance."""
    whole = json.loads((Path(__file__).parent / "data" / "stops-instances.json").read_text(encoding="utf-8"))
    return {
        each["name"]: (each, instance_from_json(json.dumps(each), each["name"])) for each in whole["instances"]
    }


@pytest.fixture(scope="session")
def random_stops():
    """A factory of small random instances from a seed: three parts of up to three stages, a group, and rules at will."""

    def make(seed, steps=5, rules=True):
        rng = np.random.default_rng(seed)

        def figures(high, count):
            return tuple(map(float, np.round(rng.uniform(0, high, count), 2)))

        def stage(name):
            chance = tuple(map(float, np.sort(rng.uniform(0, 1, steps + 1))))
            penalty = tuple(map(float, np.sort(rng.uniform(0, 60, steps))))
            return Stage(name, chance, penalty, figures(20, steps + 1))

        groups = tuple(Group(name, figures(15, steps)) for name in ("open_L", "open_R")[: rng.integers(0, 3)])
        parts = []
        for index in range(3):
            stages = tuple(stage(name) for name in ("current", "new", "again")[: rng.integers(2, 4)])
            opens = tuple(group.name for group in groups if rng.uniform() < 0.5)
            jobs = [StageJob("renew", at, 1, figures(60, steps), opens) for at in range(len(stages))]
            if len(stages) == 3:
                jobs.append(StageJob("turn", int(rng.integers(0, 2)), 2, figures(30, steps)))
            parts.append(Component(f"part {index}", stages, tuple(jobs)))
        tied = (
            Rule(RuleKind.SAME_TIME, ("part 0", "renew"), ("part 1", "renew")),
            Rule(RuleKind.A_NEEDS_B, ("part 0", "renew"), ("part 2", "renew")),
        )
        kept = tuple(rule for rule in tied if rules and rng.uniform() < 0.7)
        rate = float(rng.uniform(0, 0.2))
        stop = figures(40, steps)
        return StopInstance(f"random {seed}", steps, 500.0, 2000.0, rate, stop, groups, tuple(parts), kept)

    return make
