"""Simulated fleets with their truth: readings as a yard would have them, and the hours each part really has left.

Only numpy, and nothing of the package but the shape of its paths in `to_paths`. Everything made here is invented.

The clean fleet is the wear model and nothing else; what is kept or taken off tells nothing that the readings do not: parts come
off because of a reading (or at random), ages before the first walk-round follow from recorded facts, and a part of unknown age is
met as the model says (the first part, or anywhere between new and the limit). In the fleet "by_wear" parts come off when their
true wear passes a level, read or not, as in tests/data/fleet-sample: the survivors then tell more than the model hears.
"""

import csv
from dataclasses import dataclass, field, replace
from math import erf
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from gamma_paths import bridge_passage, grow, until_limit

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
Table = dict[str, npt.NDArray[Any]]

KINDS = ("link_height", "bush_od", "pitch_4", "shoe_bar", "bottom_roller", "top_roller", "idler", "sprocket")
LIVES_H = (6000.0, 5000.0, 5600.0, 5200.0, 6600.0, 8000.0, 7500.0, 5500.0)
ALLOWANCE_MM = (8.0, 6.0, 12.0, 20.0, 14.0, 10.0, 12.0, 10.0)
POSITIONS = 2 * len(KINDS)
GROUNDS = 5
GROUND_SHARE = (0.10, 0.19, 0.30, 0.27, 0.14)
WALK_ROUNDS = 4
WALK_SHARE = (0.27, 0.34, 0.25, 0.14)
TOOLS = ("calliper", "ultrasonic", "rule")
TOOL_SHARE = (0.44, 0.35, 0.21)
TOOL_MM = np.array([[0.40, 0.1], [0.25, 0.1], [0.90, 1.0]])
"""Standard deviation of an error and the step a reading is rounded to, by tool [mm]."""
TOOL_U_MM = np.sqrt(TOOL_MM[:, 0] ** 2 + TOOL_MM[:, 1] ** 2 / 12)
_PART_NOS = 16


@dataclass(frozen=True, slots=True)
class Recipe:
    """How a fleet is made."""

    machine_spread: float = 0.35
    part_spread: float = 0.22
    noise: float = 0.005
    start_u: float = 0.02
    ground: tuple[float, ...] = (-0.70, -0.35, 0.0, 0.40, 0.80)
    knee: float = 0.7
    steeper: float = 1.0
    wrong_spans: float = 0.0
    far_readings: float = 0.0
    far_times: float = 5.0
    zero_error_days: float = 0.0
    zero_error_times: float = 1.5
    hidden: float = 0.0
    by_wear: bool = False
    missed: float = 0.05
    whole_machines_unknown: float = 0.09
    parts_unknown: float = 0.04
    original: float = 0.8
    run_past: float = 0.1


VARIANTS: dict[str, dict[str, Any]] = {
    "clean": {},
    "two_slope": {"steeper": 1.6},
    "wrong_ground": {"wrong_spans": 0.15},
    "heavy_tails": {"far_readings": 0.04, "zero_error_days": 0.15},
    "hidden": {"hidden": 0.03},
    "by_wear": {"by_wear": True},
    "misspecified": {"steeper": 1.6, "wrong_spans": 0.15, "far_readings": 0.04, "zero_error_days": 0.15},
}


@dataclass(frozen=True, slots=True)
class SimulatedFleet:
    """Tables by column as in docs/reference/fleet-tables.md, the truth of the newest part in each position, and the recipe."""

    parts: Table
    readings: Table
    grounds: Table
    kinds: Table
    truth: Table
    recipe: Recipe


def simulate(machines: int, seed: int, variant: str = "clean", **changes: Any) -> SimulatedFleet:
    """A fleet of so many machines with sixteen positions each; changes go to the recipe of the variant."""
    recipe = replace(Recipe(), **{**VARIANTS[variant], **changes})
    return _Yard(machines, np.random.default_rng(seed), recipe).run()


@dataclass(slots=True)
class _Rows:
    """Columns that grow by pieces."""

    pieces: list[Table] = field(default_factory=list)

    def table(self) -> Table:
        return {name: np.concatenate([piece[name] for piece in self.pieces]) for name in self.pieces[0]}


class _Yard:
    """The fleet while it is worked: one entry for each position, holding the part now in it."""

    def __init__(self, machines: int, rng: np.random.Generator, recipe: Recipe) -> None:
        self.rng, self.recipe, self.machines = rng, recipe, machines
        self.machine = np.repeat(np.arange(machines), POSITIONS)
        self.position = np.tile(np.arange(POSITIONS), machines)
        self.kind = self.position % len(KINDS)
        scale = np.exp(rng.normal(0, 0.25, machines))
        self.allowance_mm = (np.array(ALLOWANCE_MM)[self.kind] * scale[self.machine]).round(4)
        self.effect = rng.normal(0, recipe.machine_spread, machines)
        self._walk_rounds()
        self._spans()
        size = machines * POSITIONS
        self.part_no = np.zeros(size, np.int64)
        self.wear, self.log_rate, self.from_h = np.zeros(size), np.zeros(size), np.zeros(size)
        self.fitted_h, self.threshold = np.full(size, np.nan), np.zeros(size)
        self.n_readings = np.zeros(size, np.int64)
        self.last_mm, self.less = np.full(size, -np.inf), np.zeros(size, bool)
        self.first_span = np.zeros(size, np.int64)
        self.hidden = np.zeros(size, bool)
        self.finished, self.read = _Rows(), _Rows()

    def run(self) -> SimulatedFleet:
        everyone = np.arange(self.machine.size)
        self._begin(everyone)
        for turn in range(WALK_ROUNDS):
            here = everyone[self.walks[self.machine] > turn]
            if not here.size:
                break
            if turn:
                self._work(here, turn)
            self._read(here, turn)
            if not self.recipe.by_wear:
                self._take_off_by_reading(here, turn)
        return self._tables(everyone)

    def _walk_rounds(self) -> None:
        rng, count = self.rng, self.machines
        self.walks = rng.choice(np.arange(1, WALK_ROUNDS + 1), count, p=WALK_SHARE)
        first = np.clip(np.exp(rng.normal(np.log(3500), 0.6, count)), 600, 19000)
        gaps = np.clip(np.exp(rng.normal(np.log(913), 0.48, (count, WALK_ROUNDS - 1))), 240, 4000)
        self.at_h = np.cumsum(np.column_stack((first.round(), gaps.round())), axis=1)
        self.tool = rng.choice(len(TOOLS), (count, WALK_ROUNDS), p=TOOL_SHARE)
        bad = rng.random((count, WALK_ROUNDS)) < self.recipe.zero_error_days
        zero = rng.normal(0, self.recipe.zero_error_times, bad.shape) * TOOL_MM[self.tool, 0]
        self.zero_mm = np.where(bad, zero, 0.0)

    def _spans(self) -> None:
        """Ground class of each span between walk-rounds, as worked and as recorded."""
        rng, shape = self.rng, (self.machines, WALK_ROUNDS)
        drawn = rng.choice(GROUNDS, shape, p=GROUND_SHARE)
        anew = rng.random(shape) < 0.12
        self.ground = drawn.copy()
        for turn in range(1, WALK_ROUNDS):
            self.ground[:, turn] = np.where(anew[:, turn], drawn[:, turn], self.ground[:, turn - 1])
        wrong = rng.random(shape) < self.recipe.wrong_spans
        other = (self.ground + rng.integers(1, GROUNDS, shape)) % GROUNDS
        self.recorded = np.where(wrong, other, self.ground)

    def _pace(self, rows: IntArray, turn: int) -> FloatArray:
        """True wear rate on the ground of that span [1/h]."""
        ground = np.array(self.recipe.ground)[self.ground[self.machine[rows], turn]]
        return np.exp(self.log_rate[rows] + ground)

    def _fit_new(self, rows: IntArray, at_h: FloatArray, first_span: int) -> None:
        """A new part in each position, from those hours on."""
        rng, recipe = self.rng, self.recipe
        own = rng.normal(0, recipe.part_spread, rows.size)
        self.log_rate[rows] = -np.log(np.array(LIVES_H))[self.kind[rows]] + self.effect[self.machine[rows]] + own
        self.wear[rows] = rng.normal(0, recipe.start_u, rows.size)
        overlooked = rng.random(rows.size) < 0.15
        self.threshold[rows] = np.clip(rng.normal(1.05, 0.12, rows.size), 0.75, 1.5) + 0.4 * overlooked
        self.from_h[rows] = at_h
        self.first_span[rows] = first_span

    def _take_off(self, rows: IntArray, at_h: FloatArray, first_span: int) -> None:
        """A recorded change."""
        self.finished.pieces.append(self._part_rows(rows))
        self._fit_new(rows, at_h, first_span)
        self.fitted_h[rows] = at_h
        self.part_no[rows] += 1
        self.n_readings[rows], self.last_mm[rows] = 0, -np.inf
        self.less[rows], self.hidden[rows] = False, False

    def _begin(self, rows: IntArray) -> None:
        """From the machine's first hour to its first walk-round."""
        rng, recipe = self.rng, self.recipe
        whole = rng.random(self.machines) < recipe.whole_machines_unknown
        unknown = whole[self.machine] | (rng.random(rows.size) < recipe.parts_unknown)
        if recipe.by_wear:
            self._chain_of_parts(rows)
        else:
            self._known_age(rows[~unknown])
            self._unknown_age(rows[unknown])
        self.fitted_h[unknown] = np.nan
        self.from_h[rows] = self.at_h[self.machine[rows], 0]

    def _known_age(self, rows: IntArray) -> None:
        """Fitted at the factory or at some hour that owes nothing to the part's own rate."""
        now_h = self.at_h[self.machine[rows], 0]
        ground = np.array(self.recipe.ground)[self.ground[self.machine[rows], 0]]
        life_h = np.array(LIVES_H)[self.kind[rows]] * np.exp(-ground)
        factory = (self.rng.random(rows.size) < 0.8) & (now_h < 1.1 * life_h)
        age = np.ceil(self.rng.random(rows.size) * np.minimum(now_h, 1.1 * life_h))
        fitted = np.where(factory, 0.0, now_h - age)
        self._fit_new(rows, fitted, 0)
        self.fitted_h[rows] = fitted
        self._wear_on(rows, (now_h - fitted) * self._pace(rows, 0))

    def _unknown_age(self, rows: IntArray) -> None:
        """The first part still, or one of a chain of parts: anywhere between new and the limit, some past it."""
        rng, recipe = self.rng, self.recipe
        self._fit_new(rows, np.zeros(rows.size), 0)
        expected = self.at_h[self.machine[rows], 0] * self._pace(rows, 0)
        z = (1 - expected) / np.sqrt(recipe.noise * expected + 0.06**2)
        chance = recipe.original * np.array([0.5 * (1 + erf(one / np.sqrt(2))) for one in z])
        later = rng.random(rows.size) >= chance
        most = np.where(rng.random(rows.size) < recipe.run_past, 3.0, 1.0)
        met = self.wear[rows] + rng.random(rows.size) * np.minimum(expected, most)
        self._wear_on(rows, np.where(later, 0.0, expected))
        self.wear[rows[later]] = met[later]

    def _chain_of_parts(self, rows: IntArray) -> None:
        """One part after the other, each until its true wear passes the level it is taken off at."""
        self._fit_new(rows, np.zeros(rows.size), 0)
        self.fitted_h[rows] = 0.0
        ahead = rows
        while ahead.size:
            now_h = self.at_h[self.machine[ahead], 0]
            before = self.wear[ahead].copy()
            expected = (now_h - self.from_h[ahead]) * self._pace(ahead, 0)
            self._wear_on(ahead, expected)
            over = self.wear[ahead] >= self.threshold[ahead]
            at_h = self._passed_h(ahead[over], before[over], expected[over], 0)
            ahead, now_h = ahead[over], now_h[over]
            again = at_h < now_h
            ahead = ahead[again]
            self._fit_new(ahead, at_h[again], 0)
            self.fitted_h[ahead] = at_h[again]

    def _wear_on(self, rows: IntArray, expected: FloatArray) -> None:
        recipe = self.recipe
        self.wear[rows] = grow(self.rng, self.wear[rows], expected, recipe.noise, recipe.knee, recipe.steeper)

    def _passed_h(self, rows: IntArray, before: FloatArray, expected: FloatArray, turn: int) -> FloatArray:
        """Meter hours at which the true wear passed the level a part is taken off at."""
        distance = np.maximum(self.threshold[rows] - before, 0.0)
        growth = np.maximum(self.wear[rows] - before, distance)
        at, _ = bridge_passage(self.rng, distance, expected, growth, self.recipe.noise)
        return np.ceil(self.from_h[rows] + at / self._pace(rows, turn))

    def _work(self, rows: IntArray, turn: int) -> None:
        """From one walk-round to the next."""
        now_h = self.at_h[self.machine[rows], turn]
        self._change_unseen(rows, turn)
        before = self.wear[rows].copy()
        expected = (now_h - self.from_h[rows]) * self._pace(rows, turn)
        self._wear_on(rows, expected)
        if self.recipe.by_wear:
            over = (self.wear[rows] >= self.threshold[rows]) & (self.rng.random(rows.size) < 0.5)
            at_h = self._passed_h(rows[over], before[over], expected[over], turn)
            again = at_h < now_h[over]
            gone, at_h, end_h = rows[over][again], at_h[again], now_h[over][again]
            self._take_off(gone, at_h, turn)
            self._wear_on(gone, (end_h - at_h) * self._pace(gone, turn))
        self.from_h[rows] = now_h

    def _change_unseen(self, rows: IntArray, turn: int) -> None:
        """Some parts that have been read before are changed since, and nobody writes it down."""
        if not self.recipe.hidden:
            return
        able = rows[(self.n_readings[rows] > 0) & ~self.hidden[rows]]
        chance = (
            1.2 * self.recipe.hidden / (1 - WALK_SHARE[0])
        )  # machines seen once cannot have any; some come off again
        share = chance / np.maximum(self.walks[self.machine[able]] - 1, 1)
        gone = able[self.rng.random(able.size) < share]
        start = self.from_h[gone]
        at_h = start + self.rng.random(gone.size) * (self.at_h[self.machine[gone], turn] - start)
        first = self.first_span[gone].copy()
        self._fit_new(gone, at_h, turn)
        self.first_span[gone] = first
        self.hidden[gone] = True

    def _read(self, rows: IntArray, turn: int) -> None:
        rng, recipe = self.rng, self.recipe
        rows = rows[rng.random(rows.size) >= recipe.missed]
        machine = self.machine[rows]
        tool = self.tool[machine, turn]
        times = np.where(rng.random(rows.size) < recipe.far_readings, recipe.far_times, 1.0)
        error = rng.normal(0, TOOL_MM[tool, 0]) * times + self.zero_mm[machine, turn]
        step = TOOL_MM[tool, 1]
        read_mm = np.round((self.wear[rows] * self.allowance_mm[rows] + error) / step) * step
        self.less[rows] |= read_mm < self.last_mm[rows]
        self.last_mm[rows] = read_mm
        self.n_readings[rows] += 1
        self.read.pieces.append(
            {
                "machine": machine,
                "position": self.position[rows],
                "part_no": self.part_no[rows],
                "inspection": np.full(rows.size, turn),
                "meter_h": self.at_h[machine, turn],
                "wear_mm": read_mm.round(1) + 0.0,
                "u_mm": TOOL_U_MM[tool].round(6),
                "tool": tool,
            }
        )

    def _take_off_by_reading(self, rows: IntArray, turn: int) -> None:
        """Most parts read near their limit come off, at once or before the next walk-round; a few others by mishap."""
        rng = self.rng
        seen = self.last_mm[rows] / self.allowance_mm[rows] >= self.threshold[rows] - 0.05
        last = self.walks[self.machine[rows]] == turn + 1
        gone = (seen & (rng.random(rows.size) < np.where(last, 0.35, 0.85))) | (rng.random(rows.size) < 0.015)
        rows, last = rows[gone], last[gone]
        at_h = self.at_h[self.machine[rows], turn]
        next_h = self.at_h[self.machine[rows], min(turn + 1, WALK_ROUNDS - 1)]
        wait = np.where(last | (rng.random(rows.size) < 0.65), 0.0, rng.random(rows.size) * (next_h - at_h))
        self._take_off(rows, at_h + np.floor(wait), turn + 1)

    def _part_rows(self, rows: IntArray) -> Table:
        return {
            "machine": self.machine[rows],
            "position": self.position[rows],
            "part_no": self.part_no[rows].copy(),
            "fitted_h": self.fitted_h[rows].copy(),
            "n_readings": self.n_readings[rows].copy(),
        }

    def _tables(self, everyone: IntArray) -> SimulatedFleet:
        truth = self._truth(everyone)
        self.finished.pieces.append(self._part_rows(everyone))
        parts = _ordered(self.finished.table())
        entry = parts["machine"] * POSITIONS + parts["position"]
        allowance = self.allowance_mm[entry]
        parts = {
            **{name: parts[name] for name in ("machine", "position", "part_no")},
            "kind": np.array(KINDS)[self.kind[entry]],
            "side": np.where(parts["position"] < len(KINDS), "L", "R"),
            "fitted_h": parts["fitted_h"],
            "allowance_mm": allowance,
            "u_new_mm": (self.recipe.start_u * allowance).round(5),
        }
        readings = _ordered(self.read.table())
        readings["tool"] = np.array(TOOLS)[readings["tool"]]
        kinds = {
            "kind": np.array(KINDS),
            "typical_life_h": np.array(LIVES_H),
            "log_spread": np.full(len(KINDS), 0.5),
        }
        return SimulatedFleet(parts, readings, self._ground_table(), kinds, truth, self.recipe)

    def _ground_table(self) -> Table:
        worked = np.arange(WALK_ROUNDS) < self.walks[:, None]
        machine, turn = np.nonzero(worked)
        from_h = np.column_stack((np.zeros(self.machines), self.at_h[:, :-1]))
        ends = {"from_h": from_h[machine, turn], "to_h": self.at_h[machine, turn]}
        return {"machine": machine, **ends, "ground": self.recorded[machine, turn]}

    def _truth(self, rows: IntArray) -> Table:
        recipe, machine = self.recipe, self.machine
        last = self.walks[machine] - 1
        ground = self.ground[machine, last]
        ahead = until_limit(self.rng, self.wear, recipe.noise, recipe.knee, recipe.steeper)
        rate = np.exp(self.log_rate + np.array(recipe.ground)[ground])
        span = np.arange(WALK_ROUNDS)
        mine = (span >= np.minimum(self.first_span, last)[:, None]) & (span <= last[:, None])
        recorded = self.recorded[machine]
        differs = (recorded != self.recorded[machine, last][:, None]) & mine
        return {
            "machine": machine,
            "position": self.position,
            "part_no": self.part_no,
            "last_meter_h": self.at_h[machine, last],
            "ground_now": ground,
            "ground_recorded": self.recorded[machine, last],
            "log_rate_frac_per_h": self.log_rate,
            "wear_frac_now": self.wear,
            "hours_left": ahead / rate,
            "n_readings": self.n_readings,
            "age_unknown": np.isnan(self.fitted_h),
            "hidden_replacement": self.hidden,
            "past_limit": self.wear >= 1,
            "ground_changed": differs.any(axis=1),
            "less_than_before": self.less,
        }


def _ordered(table: Table) -> Table:
    """By machine, position and part; what came first stays first."""
    key = (table["machine"] * POSITIONS + table["position"]) * _PART_NOS + table["part_no"]
    order = np.argsort(key, kind="stable")
    return {name: column[order] for name, column in table.items()}


def hours_by_ground(fleet: SimulatedFleet, machine: IntArray, to_h: FloatArray) -> FloatArray:
    """Recorded hours in each ground class from the meter's zero to given hours, shape (rows, grounds)."""
    table, count = fleet.grounds, int(fleet.truth["machine"][-1]) + 1
    start = np.searchsorted(table["machine"], np.arange(count + 1))
    found = np.zeros((machine.size, GROUNDS))
    rows = np.arange(machine.size)
    for turn in range(int(np.diff(start).max())):
        at = start[machine] + turn
        inside = np.flatnonzero(at < start[machine + 1])
        at = at[inside]
        hours = np.clip(np.minimum(to_h[inside], table["to_h"][at]) - table["from_h"][at], 0.0, None)
        found[rows[inside], table["ground"][at]] += hours
    return found


def to_paths(fleet: SimulatedFleet) -> tuple[Any, IntArray, npt.NDArray[np.bool_]]:
    """Wear paths of all parts, the ground each machine works on now, and which part is the newest of its position."""
    from pitchline.outlook.paths import Paths

    parts, readings, truth = fleet.parts, fleet.readings, fleet.truth
    place = parts["machine"] * POSITIONS + parts["position"]
    newest = np.r_[np.diff(place) > 0, True]
    row = np.searchsorted(place * _PART_NOS + parts["part_no"], _key(readings))
    count = np.bincount(row, minlength=place.size)
    column = np.arange(row.size) - (np.cumsum(count) - count)[row]
    shape = (place.size, max(int(count.max()), 1))
    fitted = np.where(np.isnan(parts["fitted_h"]), 0.0, parts["fitted_h"])
    mark = hours_by_ground(fleet, parts["machine"], fitted)
    at = hours_by_ground(fleet, readings["machine"], readings["meter_h"])
    before = np.vstack((np.zeros((1, GROUNDS)), at[:-1]))
    before[column == 0] = mark[row[column == 0]]
    step_h = np.zeros((*shape, GROUNDS))
    step_h[row, column] = np.maximum(at - before, 0.0)
    wear, wear_u = np.zeros(shape), np.ones(shape)
    wear[row, column] = readings["wear_mm"] / parts["allowance_mm"][row]
    wear_u[row, column] = readings["u_mm"] / parts["allowance_mm"][row]
    last = hours_by_ground(fleet, parts["machine"], truth["last_meter_h"][place])
    mark[row] = at
    known = ~np.isnan(parts["fitted_h"])
    everyone = np.ones(place.size, bool)
    paths = Paths(
        place % len(KINDS),
        parts["machine"],
        parts["u_new_mm"] / parts["allowance_mm"],
        known,
        everyone,
        count,
        step_h,
        wear,
        wear_u,
        np.maximum(last - mark, 0.0),
        everyone,
    )
    return paths, truth["ground_now"][place], newest


def _key(table: Table) -> IntArray:
    key: IntArray = (table["machine"] * POSITIONS + table["position"]) * _PART_NOS + table["part_no"]
    return key


def write_tables(fleet: SimulatedFleet, folder: Path, parquet: bool | None = None) -> list[Path]:
    """The four tables as CSV and, where pyarrow is there (or as asked), Parquet; the truth as CSV beside them."""
    tables = {"parts": fleet.parts, "readings": fleet.readings, "grounds": fleet.grounds, "kinds": fleet.kinds}
    written = [
        _write_csv(table, folder / f"{name}.csv") for name, table in {**tables, "truth": fleet.truth}.items()
    ]
    try:
        import pyarrow as pa
        import pyarrow.parquet as pq
    except ImportError:
        return written
    if parquet is not False:
        (folder / "parquet").mkdir(parents=True, exist_ok=True)
        for name, table in tables.items():
            whole = {column: pa.array(values, from_pandas=True) for column, values in table.items()}
            pq.write_table(pa.table(whole), folder / "parquet" / f"{name}.parquet")
            written.append(folder / "parquet" / f"{name}.parquet")
    return written


def _write_csv(table: Table, path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    columns = [_text(values) for values in table.values()]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(table)
        writer.writerows(zip(*columns, strict=True))
    return path


def _text(values: npt.NDArray[Any]) -> list[Any]:
    if values.dtype == bool:
        return values.astype(int).tolist()
    if values.dtype.kind == "f":
        return ["" if value != value else f"{value:.9g}" for value in values.tolist()]
    return values.tolist()
