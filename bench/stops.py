"""How fast, how surely and how well stops are planned, beside the general solver and rules of thumb, in one run.

`python bench/stops.py` runs everything; sections can be named: speed sizes saving honest. `--quick` takes fewer instances.
Times are seconds of processor time on one thread, so that a busy machine changes them little; only the general solver's own
limit is by the clock. Every instance is invented.
"""

import argparse
import os
import time
from itertools import product

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from stop_instances import invented
from stop_lives import Jobs, Planner, lived

from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import StopPlan, Taken, plan_of
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.tables import NEVER, Tables, tables_of
from pitchline.stops.thumb import all_at_once, by_window, compared

WINDOW_H = 1000.0
OURS_S, THEIRS_S = 10.0, 120.0
MOST_S = 60.0
NEAR = 1e-7
WINDOWS_H = (1000.0, 1600.0, 2400.0, 3600.0)
CHANCES = (0.7, 0.85, 0.95)
QUIET_H = (1000.0, 2000.0, 3000.0, 4000.0)
PLAIN = ((1000.0, 0.5, 0.0), (0.0, 0.5, 0.0))
"""Rules as they are kept without tuning: window, chance at which a part is due, hours without a stop before the sale."""


def timed(instance: StopInstance, method: str, seconds: float) -> tuple[StopPlan, float]:
    start = time.process_time()
    plan = plan_stops(instance, method, lambda: start + seconds - time.process_time())
    taken = time.process_time() - start
    assert abs(recost(instance, plan.done()) - plan.expected_cost) <= 1e-9 * abs(plan.expected_cost)
    return plan, taken


def speed(count: int) -> None:
    """14 parts x 60 steps beside HiGHS on the whole arc model, with and without rules."""
    for ties in (True, False):
        ours, theirs, proven, open_, stops = [], [], 0, 0, []
        for seed in range(count):
            instance = invented(seed, ties=ties)
            plan, taken = timed(instance, "auto", OURS_S)
            other, other_taken = timed(instance, "milp", THEIRS_S)
            least = min(plan.expected_cost, other.expected_cost)
            assert max(plan.lower_bound, other.lower_bound) <= least + NEAR * abs(least)
            ours.append(taken)
            theirs.append(other_taken)
            proven += plan.proven
            open_ += not other.proven
            stops.append(len(plan.stops))
        ratio = np.array(theirs) / np.array(ours)
        print(
            f"14 x 60 {'with' if ties else 'without'} rules, {count} instances of {min(stops)} to {max(stops)} stops: "
            f"median {np.median(ours):.3f} s, worst {max(ours):.2f} s, proven within {OURS_S:.0f} s "
            f"{100 * proven / count:.0f} %\n  HiGHS median {np.median(theirs):.2f} s, worst {max(theirs):.1f} s, "
            f"{open_} not proven within {THEIRS_S:.0f} s; the search is faster {np.exp(np.log(ratio).mean()):.1f} times "
            f"(geometric mean), at least {ratio.min():.2f} times",
            flush=True,
        )


def sizes(count: int) -> None:
    """Finer grids over the same hours, and longer horizons at the same step."""
    for steps, horizon_h, seconds, some in (
        (120, 12_000.0, 30.0, count),
        (120, 24_000.0, 30.0, count),
        (200, 12_000.0, MOST_S, count),
        (200, 40_000.0, MOST_S, max(2, count // 3)),
    ):
        taken, gaps, stops = [], [], []
        for seed in range(some):
            plan, seconds_taken = timed(invented(seed, steps, horizon_h=horizon_h), "auto", seconds)
            taken.append(seconds_taken)
            gaps.append(0.0 if plan.proven else plan.gap)
            stops.append(len(plan.stops))
        share = 100 * np.mean(np.array(gaps) == 0)
        print(
            f"14 x {steps} over {horizon_h:,.0f} h, {some} instances of {min(stops)} to {max(stops)} stops: median "
            f"{np.median(taken):.2f} s, worst {max(taken):.1f} s, proven within {seconds:.0f} s {share:.0f} %, worst gap "
            f"{100 * max(gaps):.3f} %",
            flush=True,
        )


def saving(count: int) -> None:
    """What the plan saves against each rule of thumb, each instance's cost known exactly."""
    rows = []
    for seed in range(count):
        instance = invented(seed)
        plan, _ = timed(instance, "auto", MOST_S)
        tables = tables_of(instance)
        window = plan_of(tables, by_window(tables, round(WINDOW_H / instance.step_h)), -NEVER, "thumb")
        cost, *thumbs = (row.expected_cost for row in compared(instance, plan))
        own, best, once, never = ((other - cost) / max(abs(other), 1e-9) for other in thumbs)
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


def by_plan(instance: StopInstance) -> Jobs:
    return [(row.step, row.component, row.job) for row in timed(instance, "auto", OURS_S)[0].plan]


def by_rule(window_h: float, chance: float, quiet_h: float) -> Planner:
    """Due at a chance of having passed the limit, joined within a window; no stop in the last hours before the sale."""

    def planner(instance: StopInstance) -> Jobs:
        tables = tables_of(instance)
        taken = by_window(tables, round(window_h / instance.step_h), chance)
        last = instance.steps - quiet_h / instance.step_h
        return [row for row in _rows(tables, taken) if row[0] < last]

    return planner


def _rows(tables: Tables, taken: Taken) -> Jobs:
    names = [part.name for part in tables.instance.components]
    return [(step, names[part], tables.ways[way].name) for part, ways in enumerate(taken) for way, step in ways]


def once(instance: StopInstance) -> Jobs:
    tables = tables_of(instance)
    return _rows(tables, all_at_once(tables))


def rule_name(window_h: float, chance: float, quiet_h: float) -> str:
    return f"{window_h:,.0f} h window, due at chance {chance:g}, no stop in the last {quiet_h:,.0f} h"


def honest(count: int) -> None:
    """Lives simulated, planned again after every walk-round; the window rule tuned on the very same lives."""
    start = time.process_time()
    ours = np.array([lived(seed, by_plan) for seed in range(count)])
    tuned = [*product(WINDOWS_H, CHANCES, QUIET_H), *PLAIN]
    costs = {rule_name(*rule): np.array([lived(seed, by_rule(*rule)) for seed in range(count)]) for rule in tuned}
    best = min(costs, key=lambda name: costs[name].mean())
    costs["all at once, planned again"] = np.array([lived(seed, once) for seed in range(count)])
    print(
        f"simulated lives, {count} machines of 7 parts, {time.process_time() - start:.0f} s; the plan costs "
        f"{ours.mean():,.0f} on average; {len(tuned)} rules tried, the best tuned: {best}",
        flush=True,
    )
    for name in (best, "all at once, planned again", *(rule_name(*rule) for rule in PLAIN)):
        saved = costs[name] - ours
        error = saved.std(ddof=1) / np.sqrt(count)
        mean = costs[name].mean()
        print(
            f"  against {name}: saves {100 * saved.mean() / mean:.1f} % with standard error {100 * error / mean:.1f} %; "
            f"cheaper on {100 * np.mean(saved > 0):.0f} % of machines",
            flush=True,
        )


SECTIONS = {
    "speed": (speed, 50, 3),
    "sizes": (sizes, 20, 2),
    "saving": (saving, 200, 20),
    "honest": (honest, 100, 5),
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
