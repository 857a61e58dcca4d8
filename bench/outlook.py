"""How good and how fast the fleet outlook is, beside its rivals, on one simulated fleet in one run.

Rivals: a straight line part by part with Fieller's t-range; statsmodels MixedLM; NumPyro's NUTS where the `bench` group is
installed. Sections can be asked for by name, `--quick` takes smaller fleets: `python bench/outlook.py --quick scores rivals`.
 Every fleet is invented by bench/fleet_simulator.py.
"""

import argparse
import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import outlook_nuts as nuts
from fleet_simulator import KINDS, LIVES_H, POSITIONS, SimulatedFleet, simulate, to_paths, write_tables
from outlook_rivals import lines, mixed_model
from outlook_scores import LEVELS, Scored, coverage_words
from threadpoolctl import threadpool_limits

from pitchline.outlook import fleet as ours
from pitchline.outlook.filter import Habits, filter_paths
from pitchline.outlook.fleet import Learned, forecast, learn, plugged_in, weak
from pitchline.outlook.grid import FORECAST
from pitchline.outlook.paths import Paths
from pitchline.outlook.quadrature import believe

SEVEN = ours.LEVELS
_SEED = 20261125
ENOUGH_DRAWS = 2000


@dataclass(frozen=True, slots=True)
class Prepared:
    """A simulated fleet as paths, with the newest part of each position."""

    fleet: SimulatedFleet
    paths: Paths
    ground: npt.NDArray[np.int64]
    newest: npt.NDArray[np.bool_]


def prepare(machines: int, seed: int, variant: str = "clean") -> Prepared:
    fleet = simulate(machines, seed, variant)
    return Prepared(fleet, *to_paths(fleet))


def guess(seed: int = 0) -> Learned:
    """Typical lives as a yard might guess them: each off by up to three tenths."""
    off = np.random.default_rng(seed).uniform(0.7, 1.3, len(KINDS))
    return weak(KINDS, {kind: (life * times, 0.5) for kind, life, times in zip(KINDS, LIVES_H, off, strict=True)})


def scored(these: Prepared, learned: Learned, ground: npt.NDArray[np.int64] | None = None) -> Scored:
    """The forecast of forecast() at 99 levels instead of its seven, for the newest parts."""
    ours.LEVELS = LEVELS
    try:
        found = forecast(these.paths, these.ground if ground is None else ground, learned, 0, these.newest)
    finally:
        ours.LEVELS = SEVEN
    return Scored(
        found.hours_left[these.newest], found.chance_past_limit[these.newest], these.fleet.truth["hours_left"]
    )


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    start = time.perf_counter()
    result = work()
    return time.perf_counter() - start, result


class Bench:
    """One run; what several sections need is made once."""

    def __init__(self, machines: int, quick: bool) -> None:
        self.machines, self.quick = machines, quick
        self._made: dict[str, tuple[Prepared, Learned, float]] = {}

    def fleet(self, variant: str = "clean") -> tuple[Prepared, Learned, float]:
        """A fleet, what was learned from it, and how long that took."""
        if variant not in self._made:
            these = prepare(self.machines, _SEED, variant)
            seconds, learned = timed(lambda: learn(these.paths, guess()))
            self._made[variant] = (these, learned, seconds)
        return self._made[variant]

    def scores(self) -> None:
        """Coverage, calibration and cases on the clean fleet."""
        these, learned, seconds = self.fleet()
        found, truth = scored(these, learned), these.fleet.truth
        print(f"constants learned in {seconds:.1f} s: {constants_words(learned)}")
        title("clean fleet", "parts  covered by 50 / 80 / 90 %")
        line("all, not past the limit", coverage_words(found.ahead))
        for count in range(5):
            line(f"{count} readings", coverage_words(found.of(truth["n_readings"] == count).ahead))
        cases = {
            "age known": ~truth["age_unknown"],
            "age unknown": truth["age_unknown"],
            "age unknown, one reading": truth["age_unknown"] & (truth["n_readings"] == 1),
            "ground changed": truth["ground_changed"],
            "less wear than before": truth["less_than_before"],
        }
        for name, rows in cases.items():
            middle = found.of(rows).ahead
            bias = float(np.median(middle.hours[:, 49] - middle.truth))
            line(name, f"{coverage_words(middle)}   middle figure off by {bias:+.0f} h in the middle")
        line("PIT, KS distance, all parts", f"{found.ks():.4f}")
        alone = scored(these, without_machines(learned))
        line("CRPS over no machine effect", f"{found.crps() / alone.crps():.3f}   ({found.crps():.0f} h)")
        self._more_fleets(found)

    def _more_fleets(self, first: Scored) -> None:
        """Parts of one machine are right or wrong together, so what chance does is told by further fleets."""
        every = [first.ahead.coverage()]
        for seed in range(1, 2 if self.quick else 5):
            these = prepare(self.machines, _SEED + 100 + seed)
            every.append(scored(these, learn(these.paths, guess(seed))).ahead.coverage())
            line(f"another fleet, {seed}", "          " + " ".join(f"{share:6.1f}" for share in every[-1]))
        middle, spread = np.mean(every, axis=0), np.std(every, axis=0, ddof=1)
        words = " ".join(f"{share:6.1f}" for share in middle)
        line(f"mean of {len(every)} fleets", f"          {words}   one fleet from another ±{spread.max():.1f}")

    def rivals(self) -> None:
        """Straight lines and the mixed model beside ours on the clean fleet."""
        these, learned, _ = self.fleet()
        found, paths, truth = scored(these, learned), these.paths, these.fleet.truth["hours_left"]
        title("straight line part by part", "parts  covered by 80 / 90 %, ours on the same")
        for name, weighted in (("meter hours", None), ("hours weighted by ground", learned.priors.ground)):
            eight, nine = (lines(paths, level, weighted) for level in (0.8, 0.9))
            rows = np.flatnonzero(nine.bounded[these.newest])
            ends = [(fit.low[these.newest][rows], fit.high[these.newest][rows]) for fit in (eight, nine)]
            if not these.newest.any() or not rows.size:
                continue
            if weighted is not None:
                factor = np.exp(learned.priors.ground)[these.ground[these.newest][rows]]
                ends = [(low / factor, high / factor) for low, high in ends]
            ahead = truth[rows] > 0
            cover = [100 * np.mean(((a <= truth[rows]) & (truth[rows] <= b))[ahead]) for a, b in ends]
            mine = found.of(rows)
            width, our_width = (ends[1][1] - ends[1][0])[ahead], mine.width()[ahead]
            own = mine.ahead.coverage()
            line(
                name,
                f"{ahead.sum():7d}   {cover[0]:5.1f} {cover[1]:5.1f}   ours {own[1]:5.1f} {own[2]:5.1f}   "
                f"90 % range ours over theirs: mean {our_width.mean() / width.mean():.3f}, "
                f"middle of ratios {np.median(our_width / np.maximum(width, 1.0)):.3f}",
            )
            line("  endless or none at all", f"{100 * (1 - rows.size / truth.size):.0f} % of parts at 90 %")
        self._mixed(these, learned, found)

    def _mixed(self, these: Prepared, learned: Learned, found: Scored) -> None:
        few = min(400, self.machines)
        title(f"statsmodels MixedLM, first {few} machines (known ages)", "parts  covered by 50 / 80 / 90 %")
        rows = slice(0, int(np.searchsorted(these.paths.machine, few)))
        newest = np.flatnonzero(these.newest[rows])
        truth = these.fleet.truth["hours_left"][: newest.size]
        try:
            mixed = mixed_model(these.paths.rows(rows), newest, truth, learned, these.ground[rows])
        except ImportError:
            line("statsmodels is not installed", "left out")
            return
        mine = found.of(mixed.rows)
        line("MixedLM", coverage_words(mixed.scored.ahead) + f"   {100 * mixed.negative:.1f} % of slopes below 0")
        line("ours on the same parts", coverage_words(mine.ahead))
        ratio = np.median(mine.ahead.width() / np.maximum(mixed.scored.ahead.width(), 1.0))
        line(
            "CRPS ours over MixedLM",
            f"{mine.crps() / mixed.scored.crps():.3f}   90 % range ours over theirs {ratio:.2f}",
        )
        whole, _ = timed(lambda: learn(these.paths.rows(rows), guess()))
        line("seconds, their fit over our learning", f"{mixed.seconds / whole:.1f}   ({mixed.seconds:.1f} s)")

    def nuts(self) -> None:
        """The sampler on the same likelihood and priors, constants fixed."""
        title("NumPyro NUTS, constants fixed", "")
        if not nuts.INSTALLED:
            line("numpyro is not installed (dependency group bench)", "left out")
            return
        these, learned, _ = self.fleet()
        few = 4 if self.quick else 12
        paths, constants = (
            these.paths.rows(slice(0, int(np.searchsorted(these.paths.machine, few)))),
            plugged_in(learned),
        )
        offsets = np.linspace(-1, 1, 9)[None, None]
        rate_log = constants.log_rate[:, paths.kind, None] + offsets
        package = filter_paths(paths, rate_log, constants, Habits()).log_like[0]
        of_rates = nuts.log_likelihood(paths, constants, Habits())
        again = np.column_stack([np.asarray(of_rates(rate_log[0, :, j])) for j in range(9)])
        known_apart = np.abs(package - again).max(axis=1)
        line("log likelihood, JAX less package", f"largest difference {known_apart.max():.1e}")
        drawn = nuts.sample(paths, constants, Habits())
        believed = believe(paths, constants, Habits(), None, FORECAST)
        mean = (believed.weight[0] * believed.rate_log[0]).sum(axis=1)
        spread = np.sqrt((believed.weight[0] * (believed.rate_log[0] - mean[:, None]) ** 2).sum(axis=1))
        apart = (mean - drawn.mean) / drawn.deviation
        ratio = spread / drawn.deviation
        line(
            "parts, draws, effective draws",
            f"{mean.size}, {nuts.DRAWS * nuts.CHAINS}, {np.median(drawn.effective):.0f} in the middle",
        )
        line("means apart, root mean square", f"{np.sqrt(np.mean(apart**2)):.4f} sd")
        line("  sampling error to expect of that", f"{np.sqrt(np.mean(1 / drawn.effective)):.4f} sd")
        well = drawn.effective >= ENOUGH_DRAWS
        words = f"{np.sqrt(np.mean(apart[well] ** 2)):.4f} sd, {well.sum()} of {well.size} parts; sampling error"
        line(
            f"  parts with {ENOUGH_DRAWS:,} effective draws or more",
            f"{words} {np.sqrt(np.mean(1 / drawn.effective[well])):.4f}",
        )
        low, high = np.quantile(ratio, [0.05, 0.95])
        line(
            "sd ratio, 5 to 95 % of parts",
            f"{low:.3f} to {high:.3f}; inside 0.94-1.06: {100 * np.mean((ratio > 0.94) & (ratio < 1.06)):.0f} %",
        )
        many, _ = self.speed_fleet()
        own, _ = timed(lambda: forecast(many.paths, many.ground, learned, 0, many.newest))
        each, theirs = own / many.paths.kind.size, drawn.seconds / mean.size
        line(
            "seconds a part, NUTS over ours",
            f"{theirs / each:,.0f}   ({1e3 * theirs:.1f} ms and {1e3 * each:.4f} ms, ours with quantiles)",
        )

    def speed_fleet(self) -> tuple[Prepared, Learned]:
        _, learned, _ = self.fleet()
        return prepare(1000 if self.quick else 6000, _SEED + 1), learned

    def robust(self) -> None:
        """Fleets in which the model is not true."""
        title("fleets that break the model", "parts  covered by 50 / 80 / 90 %")
        for variant in ("hidden", "by_wear", "two_slope", "wrong_ground", "heavy_tails", "misspecified"):
            try:
                these, learned, _ = self.fleet(variant)
            except np.linalg.LinAlgError as problem:
                line(variant, f"LEARNING FAILED: {problem}")
                continue
            found, truth = scored(these, learned), these.fleet.truth
            line(variant, coverage_words(found.ahead) + f"   {constants_words(learned)}")
            if variant == "hidden":
                line("  changed without a record", coverage_words(found.of(truth["hidden_replacement"]).ahead))
            if self.fleet()[0] is not these and variant == "misspecified":
                clean = self.fleet()[0]
                fit = lines(clean.paths, 0.8)
                true = clean.fleet.truth["hours_left"]
                rows = fit.bounded[clean.newest] & (true > 0)
                inside = (fit.low[clean.newest] <= true) & (true <= fit.high[clean.newest])
                line(
                    "  straight line on the clean fleet, 80 %",
                    f"{rows.sum():7d}           {100 * inside[rows].mean():5.1f}",
                )
            if variant in ("wrong_ground", "misspecified"):
                asked = truth["ground_recorded"][np.cumsum(these.newest) - these.newest]
                line("  asked for the ground as recorded", coverage_words(scored(these, learned, asked).ahead))

    def small(self) -> None:
        """Many fleets of five machines, pooled: constants integrated over."""
        fleets = 24 if self.quick else 160
        title(f"{fleets} fleets of five machines", "parts  covered by 50 / 80 / 90 %")
        with multiprocessing.get_context("fork").Pool(2) as pool:
            seconds, found = timed(lambda: pool.map(five_machines, range(fleets), chunksize=4))
        pooled = [
            np.concatenate([getattr(one, name) for one in found]) for name in ("hours", "none_left", "truth")
        ]
        line(
            "straight from weak priors",
            coverage_words(Scored(*pooled).ahead) + f"   {2 * seconds / fleets:.2f} s a fleet",
        )

    def speed(self) -> None:
        """Positions a second, constants from cold, one more walk-round."""
        title("speed", "")
        these, learned = self.speed_fleet()
        positions, parts = int(these.newest.sum()), these.paths.kind.size
        halves = split(these)
        with threadpool_limits(1):
            busy = time.process_time()
            taken = [
                timed(lambda: forecast(these.paths, these.ground, learned, 0, these.newest))[0] for _ in range(3)
            ]
            busy = (time.process_time() - busy) / len(taken)
            one = min(taken)
            words = f"{parts / one:,.0f} parts a second, seven quantiles each; {positions / busy:,.0f} a second of processor time"
            line("positions a second, one core", f"{positions / one:,.0f}   ({words})")
            with multiprocessing.get_context("fork").Pool(2, _hand_over, (halves, learned)) as pool:
                pool.map(_half, (0, 1), chunksize=1)
                two = min(timed(lambda: pool.map(_half, (0, 1), chunksize=1))[0] for _ in range(3))
            line("positions a second, two cores", f"{positions / two:,.0f}   (results handed back included)")
        machines = 400 if self.quick else 2000
        cold = prepare(machines, _SEED + 2)
        busy = time.process_time()
        seconds, _ = timed(lambda: learn(cold.paths, guess(1)))
        busy = time.process_time() - busy
        line(f"constants of {machines} machines, cold", f"{seconds:.1f} s   ({busy:.1f} s of processor time)")
        rows = slice(0, int(np.searchsorted(these.paths.machine, 1)))
        few, asked = these.paths.rows(rows), these.ground[rows]
        taken = [timed(lambda: forecast(few, asked, learned))[0] for _ in range(30)]
        line(
            "one more walk-round on one machine",
            f"{1e3 * np.median(taken):.1f} ms   ({few.kind.size} parts, constants kept)",
        )

    def memory(self) -> None:
        """A million positions from tables to tables, in a process of its own."""
        positions = 100_000 if self.quick else 1_000_000
        title("memory", "")
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            made, fleet = timed(lambda: simulate(positions // POSITIONS, _SEED + 10))
            written, _ = timed(lambda: write_tables(fleet, folder, parquet=False))
            fleet = None
            line("making and writing them", f"{made:.1f} and {written:.1f} s")
            for cores in (1, 2):
                out = folder / f"outlook-{cores}.parquet"
                words = ["outlook", name, "--out", str(out), "--cores", str(cores)]
                seconds, peak = timed(lambda words=words: peak_of([sys.executable, "-m", "pitchline.cli", *words]))
                line(
                    f"{positions:,} positions, CSV in, Parquet out, {cores} cores",
                    f"peak {peak / 1e6:.2f} GB, {seconds:.0f} s",
                )
            same = (folder / "outlook-1.parquet").read_bytes() == (folder / "outlook-2.parquet").read_bytes()
            line("same bytes from one and two cores", "yes" if same else "NO")


def peak_of(command: list[str]) -> int:
    """Most memory a command and all its processes held together [kB], shared pages counted once; looked at ten times a second."""
    process, peak = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL), 0  # noqa: S603
    while process.poll() is None:
        peak = max(peak, sum(map(_held, _family(process.pid))))
        time.sleep(0.1)
    if process.returncode:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}")
    return peak


def _family(pid: int) -> list[int]:
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return []
    return [pid, *(one for child in children for one in _family(int(child)))]


def _held(pid: int) -> int:
    try:
        rows = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0
    return sum(int(row.split()[1]) for row in rows if row.startswith("Pss:"))


def five_machines(seed: int) -> Scored:
    with threadpool_limits(1):
        these = prepare(5, 1000 + seed)
        return scored(these, guess(seed))


_GIVEN: list[Any] = []


def _hand_over(halves: list[Prepared], learned: Learned) -> None:
    _GIVEN[:] = [halves, learned]


def _half(number: int) -> Any:
    halves, learned = _GIVEN
    these = halves[number]
    return forecast(these.paths, these.ground, learned, 0, these.newest)


def split(these: Prepared) -> list[Prepared]:
    """Two halves at a block edge."""
    machines = int(these.paths.machine[-1]) + 1
    middle = int(np.searchsorted(these.paths.machine, (machines // 64) * 32))
    edges = (0, middle, these.paths.machine.size)
    return [
        Prepared(these.fleet, these.paths.rows(slice(a, b)), these.ground[a:b], these.newest[a:b])
        for a, b in pairwise(edges)
    ]


def without_machines(learned: Learned) -> Learned:
    """The same without a machine effect: its spread goes to the parts."""
    priors = learned.priors
    whole = 0.5 * np.log(np.exp(2 * priors.log_machine_spread[0]) + np.exp(2 * priors.log_part_spread[0]))
    return replace(
        learned,
        priors=replace(priors, log_machine_spread=(np.log(0.01), 0.1), log_part_spread=(float(whole), 0.1)),
    )


def constants_words(learned: Learned) -> str:
    priors = learned.priors
    u, v, noise, span = (float(np.exp(mean)) for mean, _ in priors.spreads)
    ground = " ".join(f"{effect:.2f}" for effect in priors.ground)
    return f"machines {u:.3f}, parts {v:.3f}, noise {noise:.4f}, spans {span:.3f}, grounds {ground}"


def title(name: str, columns: str) -> None:
    print(f"\n{name:44} {columns}", flush=True)


def line(name: str, words: str) -> None:
    print(f"  {name:42} {words}", flush=True)


SECTIONS = ("scores", "rivals", "nuts", "robust", "small", "speed", "memory")


def main() -> None:
    """Run the sections asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "sections", nargs="*", choices=[*SECTIONS, []], help=f"of {', '.join(SECTIONS)}; all without"
    )
    parser.add_argument("--machines", type=int, help="machines of the main fleets")
    parser.add_argument(
        "--quick", action="store_true", help="smaller fleets, under two minutes without robust and small"
    )
    asked = parser.parse_args()
    bench = Bench(asked.machines or (400 if asked.quick else 2000), asked.quick)
    load = os.getloadavg()[0]
    print(
        f"{bench.machines} machines of 16 positions, seed {_SEED}; {os.cpu_count()} cores, load {load:.1f} at the start"
    )
    for section in asked.sections or SECTIONS:
        seconds, _ = timed(getattr(bench, section))
        print(f"  [{section}: {seconds:.0f} s]", flush=True)


if __name__ == "__main__":
    main()
