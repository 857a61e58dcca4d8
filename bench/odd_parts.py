"""Odd parts: hours that must not rise when a reading gets worse, and a fleet in which one part in thirty wears far faster.

Sections: `worse` moves one reading of many random machines from what its last reading, its fellows and all else say up to 130 %
of the allowance and counts what rises (all three figures, and the calls of every n-th machine). `given` does the same with a
few random sets of constants in place of those of each machine, many machines in one call: about 9 ms a machine instead of 140;
of every other fifty machines every pace of each kind is weighed, as where a machine is judged, and twice as slow.
`fleet` judges machines with odd parts, whole sides changed without a record and slips after one walk-round; `--beside SRC` runs
it on the `src` of another checkout, too:

    python bench/odd_parts.py given --machines 20000
    python bench/odd_parts.py worse --machines 3000 --cores 2
    python bench/odd_parts.py fleet --machines 300 --beside ../other/src

Every machine is invented by bench/odd_machines.py.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import odd_machines as made_up
from threadpoolctl import threadpool_limits

import pitchline.outlook.machine as outlook_machine
from pitchline.judge import judge
from pitchline.outlook.lives import Lives, lives_of
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import Measurand
from pitchline.trade.readings import Reading

try:
    from pitchline.outlook.changes import Split, believe_split, cut_at, surely_changed
    from pitchline.outlook.constants import Constants, Priors, weak_priors
    from pitchline.outlook.crossing import crossing
    from pitchline.outlook.filter import Habits
    from pitchline.outlook.kinds import ground_pace
    from pitchline.outlook.learned import priors_for
    from pitchline.outlook.milder import no_milder
    from pitchline.outlook.paths import Paths, stack
    from pitchline.outlook.quadrature import believe
    from pitchline.trade.ground import GroundClass, GroundMix
except ImportError:
    """An older checkout, run for its fleet alone."""

_SEED = 20261130
_MORE = {"worse": (0.01, 5.0), "given": (0.001, 1.0)}
"""A rise counts from so great a share and so many hours [h] on: the constants of a machine hear a newest reading a little; given
constants do not, and what is left is how near hours are looked for."""
MOST_LEVEL = 1.3
_AT_ONCE, _SETS = 50, 4
_keep: dict[tuple[bytes, ...], Any] = {}
WINDOW_H = 256.0
"""Eight weeks, the usual booking window, at the machines' 32 h a week."""
FACTOR, LEAST_H = 2.5, 50.0
RANDOM = made_up.Recipe(
    odd_parts=0.05, side_changed=0.1, slips=0.02, any_tool=True, any_line=True, few_quantities=True, rounded=0.1
)
FLEET = made_up.Recipe(most_h=4000.0, as_one=True)


def figures(dossier: Dossier, which: Reading) -> tuple[float, float, float, float] | None:
    """Life used, and cautious, middle and hopeful hours of the quantity a reading is of; None where that life is over.

    By the steps of machine_outlook, for one part alone: the constants of the whole machine, all its parts believed together.
    """
    lives = lives_of(dossier, dossier.walk_rounds[-1].service_h)
    row = row_of(lives, which)
    return None if row is None else of_part(lives, row, dossier.mix_to_come)


def row_of(lives: Lives, which: Reading) -> int | None:
    """Number of the life a reading is of; None where that life is over."""
    for number, life in enumerate(lives.lives):
        if life.now_fitted and life.place == which.place and life.measurand is which.measurand:
            return number
    return None


def of_part(lives: Lives, row: int, ground: GroundMix) -> tuple[float, float, float, float]:
    """The same figures of one life, without those of the others that machine_outlook makes beside them."""
    habits, pace = Habits(), ground_pace(lives.kinds)
    paths = outlook_machine._paced(stack([life.path for life in lives.lives]), pace)
    priors, _ = priors_for(lives.kinds, None)
    to_come, worked = outlook_machine._to_come(ground)
    usual = priors.usual()
    paths, newest = cut_at(paths, surely_changed(paths, usual, habits) > 0)
    row = int(newest[row])
    constants = outlook_machine.constants_for(paths, priors, habits, worked, 0)
    before = beliefs = believe(paths, constants, habits)
    told_apart = believe_split(before, ask=lambda: believe(paths, usual, habits, None, before.grid))
    if told_apart is not None:
        beliefs, row = told_apart[0], int(told_apart[1].newest[row])
    against = crossing(beliefs, to_come, pace=pace)
    doubts = outlook_machine.milder_doubts(lives, newest, paths.kind.size)
    milder = no_milder(beliefs, against, None if told_apart is None else told_apart[1], usual, doubts)
    limit = crossing(milder.beliefs, to_come, pace=pace).of([row])
    cautious, middle, hopeful = milder.hours_and_now(limit, np.array([row]), outlook_machine.CHANCES)[0][0]
    used = (limit.weight * limit.wear).sum(axis=2).mean()
    return float(used), float(cautious), float(middle), float(hopeful)


def by_package(dossier: Dossier, which: Reading) -> tuple[float, float, float, float]:
    """The same figures as machine_outlook has them."""
    lives = lives_of(dossier, dossier.walk_rounds[-1].service_h)
    part = next(
        part
        for part in outlook_machine.machine_outlook(lives, dossier.mix_to_come).parts
        if part.life.place == which.place and part.life.measurand is which.measurand
    )
    return part.life_used, part.to_limit.cautious, part.to_limit.middle, part.to_limit.hopeful


def _once(constants_for: Callable[..., Any]) -> Callable[..., Any]:
    """Constants as the package fits them, kept for a machine whose readings differ only where the constants do not hear it."""

    from pitchline.outlook.bounded import bounded

    def kept(paths: Any, priors: Any, *more: Any) -> Any:
        heard = bounded(paths, priors)
        key = tuple(
            np.asarray(part).tobytes()
            for part in (heard.wear, heard.wear_u, heard.step_h, heard.kind, heard.share, heard.count)
        )
        if key not in _keep:
            _keep.clear()
            _keep[key] = constants_for(paths, priors, *more)
        return _keep[key]

    return kept


def ranks(dossier: Dossier, which: Reading) -> tuple[int, int]:
    """Rank of the call on a part, and of the machine's."""
    verdict = judge(dossier)
    part = next(part for part in verdict.parts if part.place == which.place)
    return part.call.rank, verdict.call.rank


def risen(levels: np.ndarray[Any, Any], section: str) -> np.ndarray[Any, Any]:
    """Which figures lie above the least seen at a milder level, shape (levels - 1, figures)."""
    least, (share, hours_h) = np.minimum.accumulate(levels, axis=0)[:-1], _MORE[section]
    return np.asarray(levels[1:] > least * (1 + share) + hours_h)


def worse(number: int, steps: int, judged_every: int) -> dict[str, Any] | None:
    """One random machine, one reading moved: what rose."""
    rng = np.random.default_rng([_SEED, number])
    rounds = 1 + number % 4
    dossier = made_up.make(rng, RANDOM, rounds).dossier
    read = made_up.read_last(dossier)
    if not read:
        return None
    which = read[int(rng.integers(len(read)))]
    old_flat = made_up.old_flat_off(dossier, which)
    if old_flat is None:
        return None
    without = figures(made_up.without(dossier, which), which)
    believed = (without[0] if without else 0.0) + old_flat
    low = max(made_up.least_level(dossier, which), believed)
    if low > MOST_LEVEL - 0.05:
        return None
    levels = np.sort(np.r_[low, rng.uniform(low, MOST_LEVEL, steps - 1)])
    machines = [made_up.moved(dossier, which, float(level)) for level in levels]
    hours = [figures(machine, which) for machine in machines]
    if any(each is None for each in hours):
        return None
    judged = number % judged_every == 0
    if judged and not np.allclose(hours[-1], by_package(machines[-1], which), rtol=1e-6, atol=0.2):
        raise AssertionError(f"machine {number}: not the figures of the package")
    calls = [ranks(machine, which) for machine in machines] if judged else []
    left = np.array(hours)[:, 1:]
    rose = risen(left, "worse").any(axis=0)
    return {
        "number": number,
        "what": f"{which.place.key}, {which.measurand.value}, {rounds} walk-rounds",
        "levels": levels.round(3).tolist(),
        "hours": left.round().tolist(),
        "rose": rose.tolist(),
        "calls": calls,
        "milder": bool(calls) and bool((np.diff(np.array(calls), axis=0) < 0).any()),
    }


def worse_section(asked: argparse.Namespace) -> None:
    outlook_machine.constants_for = _once(outlook_machine.constants_for)
    told([one for one in spread(worse, asked, asked.steps, asked.judged_every) if one], asked, "worse")


def given_section(asked: argparse.Namespace) -> None:
    edges = range(asked.first, asked.first + asked.machines, _AT_ONCE)
    with multiprocessing.get_context("fork").Pool(asked.cores, threadpool_limits, (1,)) as pool:
        some = pool.starmap(given, [(first, _AT_ONCE, _SETS, asked.steps) for first in edges], chunksize=1)
    told([one for machines in some for one in machines], asked, "given")


def told(found: list[dict[str, Any]], asked: argparse.Namespace, section: str) -> None:
    """What rose, in numbers and one by one."""
    share, hours_h = _MORE[section]
    rose = np.array([one["rose"] for one in found])
    print(
        f"{len(found):,} machines, {asked.steps} levels each: hours rise by more than {share:.1%} and {hours_h:g} h"
    )
    for name, count in zip(("cautious", "middle", "hopeful"), rose.sum(axis=0), strict=True):
        print(f"  {name:10} {count:6d}   ({100 * count / len(found):.3f} %)")
    calls = [one for one in found if one["calls"]]
    if calls:
        milder = sum(one["milder"] for one in calls)
        print(f"  calls turn milder on {milder} of {len(calls)} machines judged")
    for one in found:
        if one["milder"] or any(one["rose"]):
            print("   ", one["number"], one["what"], one["levels"], one["hours"], one["calls"])


@dataclass(frozen=True)
class Moving:
    """One random machine with the reading that is moved: its wear paths, the pace of its kinds, and where the reading stands."""

    number: int
    what: str
    paths: Paths
    row: int
    pace: np.ndarray[Any, Any]
    log_rate: np.ndarray[Any, Any]
    prior: Priors
    least: float


def moving(number: int) -> Moving | None:
    """The machine of that number, or None where nothing of a part now fitted was read."""
    rng = np.random.default_rng([_SEED, number])
    rounds = 1 + number % 4
    dossier = made_up.make(rng, RANDOM, rounds).dossier
    read = made_up.read_last(dossier)
    if not read:
        return None
    which = read[int(rng.integers(len(read)))]
    lives = lives_of(dossier, dossier.walk_rounds[-1].service_h)
    row = row_of(lives, which)
    if row is None or not lives.lives[row].traces:
        return None
    pace = ground_pace(lives.kinds)
    paths = outlook_machine._paced(stack([life.path for life in lives.lives]), pace)
    if paths.share is not None:
        paths.share[row] = 1.0
    priors, _ = priors_for(lives.kinds, None)
    what = f"{which.place.key}, {which.measurand.value}, {rounds} walk-rounds"
    least = made_up.least_level(dossier, which)
    return Moving(number, what, paths, row, pace, _seen_rates(paths, row, priors.log_rate), priors, least)


def _seen_rates(paths: Paths, row: int, prior: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Log rate of each kind, half way from what is believed to what the machine's other readings show."""
    found = prior.copy()
    last = np.maximum(paths.count - 1, 0)
    at = np.arange(paths.kind.size)
    rate = np.log(np.clip(paths.wear[at, last], 0.03, None) / np.maximum(paths.step_h.sum(axis=(1, 2)), 1.0))
    for kind in range(prior.size):
        mine = (paths.kind == kind) & (paths.count > 0) & (at != row)
        if mine.any():
            found[kind] = 0.5 * (prior[kind] + np.median(rate[mine]))
    return found


def _many(machines: list[Moving], copies: int) -> tuple[Paths, np.ndarray[Any, Any]]:
    """Each machine so many times over, each with kinds of its own, and the rows of the readings that are moved."""
    most = max(machine.paths.wear.shape[1] for machine in machines)
    kinds = 0
    fields: dict[str, list[Any]] = {name: [] for name in Paths.__slots__}
    rows, parts = [], 0
    for number, machine in enumerate(machines):
        paths = machine.paths
        wide = ((0, 0), (0, most - paths.wear.shape[1]))
        for copy in range(copies):
            values = {name: getattr(paths, name) for name in Paths.__slots__}
            values["kind"] = paths.kind + kinds
            values["machine"] = np.full(paths.kind.size, number * copies + copy)
            values["share"] = np.ones(paths.kind.size) if paths.share is None else paths.share
            values["wear"] = np.pad(paths.wear, wide)
            values["wear_u"] = np.pad(paths.wear_u, wide, constant_values=1.0)
            values["step_h"] = np.pad(paths.step_h, (*wide, (0, 0)))
            for name, value in values.items():
                fields[name].append(value)
            rows.append(parts + machine.row)
            parts += paths.kind.size
            kinds += machine.log_rate.size
    return Paths(**{name: np.concatenate(value) for name, value in fields.items()}), np.array(rows)


def _figures_of_many(
    paths: Paths, rows: Any, constants: Constants, usual: Constants, pace: Any
) -> np.ndarray[Any, Any]:
    """Life used, cautious, middle and hopeful hours of some rows, constants given, shape (rows, 4)."""
    habits, ground = Habits(), int(GroundClass.MIDDLING)
    paths, lives = cut_at(paths, surely_changed(paths, usual, habits) > 0)
    rows = lives[rows]
    before = believe(paths, constants, habits)

    def of(beliefs: Any, at: Any, split: Split | None = None) -> np.ndarray[Any, Any]:
        against = crossing(beliefs, ground, pace=pace)
        milder = no_milder(beliefs, against, split, usual)
        limit = crossing(milder.beliefs, ground, pace=pace).of(at)
        used = (limit.weight * limit.wear).sum(axis=2).mean(axis=0)
        return np.column_stack((used, milder.hours_and_now(limit, at, outlook_machine.CHANCES)[0]))

    found = of(before, rows)
    apart = believe_split(before, ask=lambda: believe(paths, usual, habits, None, before.grid))
    if apart is not None:
        beliefs, split = apart
        newest = dict(zip(split.rows.tolist(), split.newest.tolist(), strict=True))
        which = [place for place, row in enumerate(rows.tolist()) if row in newest]
        if which:
            found[which] = of(beliefs, np.array([newest[int(rows[place])] for place in which]), split)
    return found


def given(first: int, machines: int, sets: int, steps: int) -> list[dict[str, Any]]:
    """Some random machines at once, constants given: what rose."""
    some = [one for one in map(moving, range(first, first + machines)) if one]
    rng = np.random.default_rng([_SEED + 2, first])
    log_rate = np.concatenate([one.log_rate for one in some])
    prior = weak_priors(np.exp(-log_rate), np.full(log_rate.size, 0.6))
    spreads = [np.exp(rng.normal(mean, deviation, sets)) for mean, deviation in prior.spreads]
    constants = Constants(
        log_rate + rng.normal(0, 0.25, (sets, log_rate.size)),
        prior.ground + prior.ground_u * rng.normal(0, 0.5, (sets, prior.ground.size)),
        *spreads,
    )
    if first // _AT_ONCE % 2:
        mean = np.concatenate([one.prior.log_rate for one in some])
        every = np.broadcast_to(mean, constants.log_rate.shape)
        constants = replace(
            constants, log_rate=every, log_rate_u=np.concatenate([one.prior.log_rate_u for one in some])
        )
    by_machine = np.split(np.arange(log_rate.size), np.cumsum([one.log_rate.size for one in some])[:-1])

    def figures(copies: int) -> np.ndarray[Any, Any]:
        kinds = np.concatenate([kind for kind in by_machine for _ in range(copies)])
        each, usual = (
            replace(
                one,
                log_rate=one.log_rate[:, kinds],
                log_rate_u=None if one.log_rate_u is None else one.log_rate_u[kinds],
            )
            for one in (constants, prior.usual())
        )
        return _figures_of_many(paths, rows, each, usual, pace[kinds])

    pace = np.concatenate([one.pace for one in some])
    paths, rows = _many(some, 1)
    last = paths.count[rows] - 1
    paths.count[rows] -= 1
    paths.tail_h[rows] += paths.step_h[rows, last]
    low = np.maximum(figures(1)[:, 0], [one.least for one in some])
    keep = np.flatnonzero(low < MOST_LEVEL - 0.05)
    paths, rows = _many(some, steps)
    levels = low[:, None] + (MOST_LEVEL - low)[:, None] * np.sort(rng.random((low.size, steps)), axis=1)
    levels[:, 0] = low
    last = paths.count[rows] - 1
    paths.wear[rows, last] = levels.ravel()
    hours = figures(steps)[:, 1:].reshape(low.size, steps, 3)
    found = []
    for at in keep:
        one = some[at]
        found.append(
            {
                "number": one.number,
                "what": one.what,
                "levels": levels[at].round(3).tolist(),
                "hours": hours[at].round().tolist(),
                "rose": risen(hours[at], "given").any(axis=0).tolist(),
                "calls": [],
                "milder": False,
            }
        )
    return found


def fleet(number: int) -> list[dict[str, Any]]:
    """One machine after one walk-round: each quantity read, its truth, its call and its figures."""
    rng = np.random.default_rng([_SEED + 1, number])
    made = made_up.make(rng, FLEET, 1)
    verdict = judge(made.dossier)
    lives = lives_of(made.dossier, made.dossier.walk_rounds[-1].service_h)
    outlook = {
        (p.life.place, p.life.measurand): p
        for p in outlook_machine.machine_outlook(lives, made.dossier.mix_to_come).parts
    }
    rows = []
    for part in verdict.parts:
        turned_next = any(item.to_turn is not None for item in part.judged)
        for item in part.judged:
            truth = made.truth.get((part.place, item.measurand))
            waits = item.measurand is Measurand.BUSH_OD_REVERSE and turned_next
            if truth is None or item.reading is None or item.to_limit is None or waits:
                continue
            turns = item.to_turn is not None
            level = 0.5 if turns else 1.0
            life = outlook.get((part.place, item.measurand))
            rows.append(
                {
                    "odd": truth.odd,
                    "slipped": truth.slipped,
                    "changed": truth.changed,
                    "due_h": truth.hours_to(level),
                    "limit_h": truth.hours_to(1.0),
                    "middle_h": item.to_limit.middle,
                    "range_h": [item.to_limit.cautious, item.to_limit.hopeful],
                    "rank": part.call.rank,
                    "again": part.call.asks
                    and part.job is not None
                    and part.job.value in ("investigate", "measure"),
                    "what": f"{number} {part.place.key}, {item.measurand.value}",
                    "place": f"{number} {part.place.key}",
                    "chance_odd": getattr(life, "chance_odd", 0.0),
                    "chance_misread": item.chance_misread,
                    "as_read": life.life.traces[-1].life_used if life and life.life.traces else 0.0,
                    "as_judged": item.life_used,
                    "held": item.status == "held back",
                }
            )
    return rows


def fleet_figures(rows: list[dict[str, Any]]) -> None:
    """The figures of issue 11, "done when" 2, and what thresholds on the chances would send to be measured again."""
    odd = [row for row in rows if row["odd"]]
    due = [row for row in odd if row["due_h"] <= WINDOW_H]
    line("odd parts, past or due in the window", f"{len(due)} of {len(odd)} odd, {len(rows)} read")
    line("  booked or stopped", share([row["rank"] > 0 for row in due]))
    line(f"  middle within {FACTOR:g} times the truth", share([_near(row) for row in due]))
    line("all odd parts, the same", share([_near(row) for row in odd]))
    line("all odd parts, in the 8 in 10 range", share([_inside(row) for row in odd if row["limit_h"] > 0]))
    every = [row for row in rows if row["due_h"] <= WINDOW_H]
    line("all parts past or due, booked or stopped", share([row["rank"] > 0 for row in every]))
    sound = [row for row in rows if not row["odd"] and not row["slipped"]]
    line("sound parts, in the 8 in 10 range", share([_inside(row) for row in sound if row["limit_h"] > 0]))
    line("sound parts called 'measure again'", share([row["again"] for row in sound]))
    soonest: dict[str, float] = {}
    for row in rows:
        soonest[row["place"]] = min(row["due_h"], soonest.get(row["place"], np.inf))
    far = [row for row in sound if soonest[row["place"]] > 1000.0]
    line("sound with over 1,000 h left, booked", share([row["rank"] > 0 for row in far]))
    for row in due:
        if row["rank"] <= 0 or not _near(row):
            print(
                "     ",
                row["what"],
                {
                    key: row[key]
                    for key in (
                        "changed",
                        "slipped",
                        "rank",
                        "as_read",
                        "as_judged",
                        "due_h",
                        "limit_h",
                        "middle_h",
                        "range_h",
                        "chance_odd",
                    )
                },
            )
    slipped = [row for row in rows if row["slipped"]]
    line("slipped readings held back", share([row["held"] for row in slipped]))
    for chance in (0.3, 0.5, 0.7, 0.9):
        asked = [_is_odd(row, chance) for row in sound]
        line(
            f"  chance odd from {chance:g}: sound, odd, slipped",
            " ".join((share(asked), _asked(odd, chance), _asked(slipped, chance))),
        )


def _asked(rows: list[dict[str, Any]], chance: float) -> str:
    return share([_is_odd(row, chance) for row in rows])


def _is_odd(row: dict[str, Any], chance: float) -> bool:
    """Likely to wear unlike its fellows, and far enough on to matter."""
    return bool(row["chance_odd"] >= chance and row["as_read"] >= 0.5)


def _near(row: dict[str, Any]) -> bool:
    """Both floored, so that past the limit is near past the limit."""
    truth, said = max(row["limit_h"], LEAST_H), max(row["middle_h"], LEAST_H)
    return bool(1 / FACTOR <= said / truth <= FACTOR)


def _inside(row: dict[str, Any]) -> bool:
    low, high = row["range_h"]
    return bool(low <= row["limit_h"] <= high)


def share(which: list[bool]) -> str:
    return f"{100 * np.mean(which):5.1f} % of {len(which)}" if which else "none"


def fleet_section(asked: argparse.Namespace) -> None:
    print(f"{asked.machines} machines with odd parts, one walk-round each")
    rows = [row for one in spread(fleet, asked) for row in one]
    fleet_figures(rows)
    if asked.beside:
        print(f"the same machines beside it, by {asked.beside}")
        command = [
            sys.executable,
            __file__,
            "fleet",
            "--rows",
            "--machines",
            str(asked.machines),
            "--cores",
            str(asked.cores),
            "--first",
            str(asked.first),
        ]
        environment = {**os.environ, "PYTHONPATH": str(Path(asked.beside).resolve())}
        done = subprocess.run(command, env=environment, check=True, capture_output=True, text=True)  # noqa: S603
        fleet_figures(json.loads(done.stdout))


def spread(work: Callable[..., Any], asked: argparse.Namespace, *more: Any) -> list[Any]:
    """The work of every machine, over the cores."""
    numbers = range(asked.first, asked.first + asked.machines)
    with multiprocessing.get_context("fork").Pool(asked.cores, threadpool_limits, (1,)) as pool:
        return pool.starmap(work, [(number, *more) for number in numbers], chunksize=4)


def line(name: str, words: str) -> None:
    print(f"  {name:42} {words}", flush=True)


def main() -> None:
    """Run the sections asked for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "sections", nargs="*", default=["given", "worse", "fleet"], help="of given, worse and fleet; all without"
    )
    parser.add_argument("--machines", type=int, default=200, help="random machines")
    parser.add_argument("--first", type=int, default=0, help="number of the first one")
    parser.add_argument("--steps", type=int, default=4, help="levels a reading is moved through")
    parser.add_argument("--judged-every", type=int, default=20, help="every n-th machine is judged in full, too")
    parser.add_argument("--cores", type=int, default=2)
    parser.add_argument("--beside", help="src folder of another checkout, for the fleet")
    parser.add_argument(
        "--rows", action="store_true", help="print the fleet's rows as JSON, for the other checkout"
    )
    asked = parser.parse_args()
    if asked.rows:
        json.dump([row for one in spread(fleet, asked) for row in one], sys.stdout, default=float)
        return
    for section in asked.sections:
        start = time.perf_counter()
        {"worse": worse_section, "given": given_section, "fleet": fleet_section}[section](asked)
        print(f"  [{section}: {time.perf_counter() - start:.0f} s]", flush=True)


if __name__ == "__main__":
    main()
