"""How fast, how surely and how well stops are planned, beside the general solver and rules of thumb, in one run.

`python bench/stops.py` runs everything; sections can be named: speed sizes saving honest. `--quick` takes fewer instances.
Ratios are of times taken in this run, one after the other on one core. Every instance is invented.
"""

import argparse
import os
import time
from collections.abc import Callable

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from stop_instances import invented
from stop_lives import Planner, lived

from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import StopPlan, plan_of
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.tables import NEVER, tables_of
from pitchline.stops.thumb import all_at_once, by_window, compared, money_saved

WINDOW_H = 1000.0


def timed(instance: StopInstance, method: str, seconds: float) -> tuple[StopPlan, float]:
    start = time.perf_counter()
    plan = plan_stops(instance, method, lambda: start + seconds - time.perf_counter())
    taken = time.perf_counter() - start
    assert abs(recost(instance, plan.done()) - plan.expected_cost) <= 1e-9 * abs(plan.expected_cost)
    return plan, taken


def speed(count: int) -> None:
    """14 parts x 60 steps beside HiGHS on the whole arc model, with and without rules."""
    for ties in (True, False):
        ours, theirs, proven = [], [], 0
        for seed in range(count):
            instance = invented(seed, ties=ties)
            plan, taken = timed(instance, "auto", 10.0)
            other, other_taken = timed(instance, "milp", 60.0)
            worst = min(plan.expected_cost, other.expected_cost)
            assert max(plan.lower_bound, other.lower_bound) <= worst * (1 + 1e-7)
            ours.append(taken)
            theirs.append(other_taken)
            proven += plan.proven
        ratio = np.array(theirs) / np.array(ours)
        print(
            f"14 x 60 {'with' if ties else 'without'} rules, {count} instances: median {np.median(ours):.3f} s, "
            f"worst {max(ours):.2f} s, proven within 10 s {100 * proven / count:.0f} %; HiGHS median "
            f"{np.median(theirs):.2f} s; faster by a factor of {np.exp(np.log(ratio).mean()):.1f} (geometric mean), "
            f"at least {ratio.min():.2f}",
            flush=True,
        )


def sizes(count: int) -> None:
    """Finer grids over the same hours, and longer horizons at the same step."""
    for steps, horizon_h, seconds in (
        (120, 12_000.0, 30.0),
        (120, 24_000.0, 30.0),
        (200, 12_000.0, 60.0),
        (200, 40_000.0, 60.0),
    ):
        taken, gaps = [], []
        for seed in range(count if horizon_h < 40_000 else max(2, count // 2)):
            plan, seconds_taken = timed(invented(seed, steps, horizon_h=horizon_h), "auto", seconds)
            taken.append(seconds_taken)
            gaps.append(0.0 if plan.proven else plan.gap)
        share = 100 * np.mean(np.array(gaps) == 0)
        print(
            f"14 x {steps} over {horizon_h:,.0f} h, {len(gaps)} instances: median {np.median(taken):.2f} s, worst "
            f"{max(taken):.1f} s, proven within {seconds:.0f} s {share:.0f} %, worst gap {100 * max(gaps):.3f} %",
            flush=True,
        )


def saving(count: int) -> None:
    """What the plan saves against each rule of thumb, each instance's cost known exactly."""
    rows = []
    for seed in range(count):
        instance = invented(seed)
        plan = plan_stops(instance)
        tables = tables_of(instance)
        window = plan_of(tables, by_window(tables, round(WINDOW_H / instance.step_h)), -NEVER, "thumb")
        own, best, once, never = money_saved(compared(instance, plan))
        fixed = 1 - plan.expected_cost / window.expected_cost
        rows.append((own, fixed, best, once, never, min(own, fixed, best, once, never)))
    names = (
        "each at its own limit",
        "1,000 h window",
        "best window",
        "all at once",
        "run to the end",
        "best rule",
    )
    for name, column in zip(names, np.array(rows).T, strict=True):
        low, middle, high = np.quantile(column, (0.1, 0.5, 0.9))
        print(
            f"saving against {name}, {count} instances: median {100 * middle:.1f} % "
            f"(1 in 10 below {100 * low:.1f}, 1 in 10 above {100 * high:.1f})",
            flush=True,
        )


def by_plan(instance: StopInstance) -> list[tuple[int, str, str]]:
    return [(row.step, row.component, row.job) for row in plan_stops(instance).plan]


def by_rule(window_h: float, chance: float) -> Planner:
    def planner(instance: StopInstance) -> list[tuple[int, str, str]]:
        tables = tables_of(instance)
        taken = by_window(tables, round(window_h / instance.step_h), chance)
        names = [part.name for part in instance.components]
        return [
            (step, names[part], tables.ways[way].name) for part, ways in enumerate(taken) for way, step in ways
        ]

    return planner


def once(instance: StopInstance) -> list[tuple[int, str, str]]:
    tables = tables_of(instance)
    names = [part.name for part in instance.components]
    taken = all_at_once(tables)
    return [(step, names[part], tables.ways[way].name) for part, ways in enumerate(taken) for way, step in ways]


def honest(count: int) -> None:
    """Lives simulated, planned again after every walk-round; the window rule tuned on the very same lives."""
    start = time.perf_counter()
    ours = np.array([lived(seed, by_plan) for seed in range(count)])
    rules: dict[str, Callable[[StopInstance], list[tuple[int, str, str]]]] = {
        f"{window_h:,.0f} h window at chance {chance:g}": by_rule(window_h, chance)
        for window_h in (0.0, 600.0, 1200.0, 1800.0, 2400.0, 3200.0)
        for chance in (0.15, 0.3, 0.5, 0.7)
    }
    costs = {name: np.array([lived(seed, rule) for seed in range(count)]) for name, rule in rules.items()}
    best = min(costs, key=lambda name: costs[name].mean())
    costs["all at once, planned again"] = np.array([lived(seed, once) for seed in range(count)])
    print(
        f"simulated lives, {count} machines of 7 parts, {time.perf_counter() - start:.0f} s; the plan {ours.mean():,.0f}"
    )
    for name in (best, "all at once, planned again", "0 h window at chance 0.5"):
        saved = costs[name] - ours
        error = saved.std(ddof=1) / np.sqrt(count)
        mean = costs[name].mean()
        print(
            f"  against {name}{' (the best tuned)' if name == best else ''}: saves {100 * saved.mean() / mean:.1f} % "
            f"with standard error {100 * error / mean:.1f} %; cheaper on {100 * np.mean(saved > 0):.0f} % of machines",
            flush=True,
        )


SECTIONS = {
    "speed": (speed, 50, 6),
    "sizes": (sizes, 20, 3),
    "saving": (saving, 200, 20),
    "honest": (honest, 200, 10),
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(SECTIONS))
    parser.add_argument("--quick", action="store_true", help="fewer instances")
    asked = parser.parse_args()
    for name in asked.sections or SECTIONS:
        section, whole, quick = SECTIONS[name]
        section(quick if asked.quick else whole)


if __name__ == "__main__":
    main()
