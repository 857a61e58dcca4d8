"""How long one judgement and one paper take, beside a general-purpose reference on the same machine in the same run.

The reference: scipy.optimize.least_squares fitting one straight line per part (start and rate) to the same readings, part by
part. It gives neither ranges that hold nor anything for parts read once; it puts the time into proportion. The machine's name
changes from run to run, so that nothing is answered from a cache. Run with `make bench`, or beside another checkout:

    python bench/judge.py --beside ../other/src
"""

import argparse
import datetime as dt
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import median

import numpy as np
from scipy.optimize import least_squares

from pitchline.demo.yard import build_yard
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.outlook.lives import lives_of
from pitchline.papers.paper import verdict_pdf
from pitchline.trade.dossier import Dossier
from pitchline.trade.parts import PartKind

REPEATS = 9
PARTS, WALK_ROUNDS = 24, 4


def seconds(work: Callable[[int], object], repeats: int = REPEATS) -> float:
    """Median time of several runs after a first one, which is not counted; each is told its number."""
    work(0)
    taken = []
    for run in range(1, repeats + 1):
        start = time.perf_counter()
        work(run)
        taken.append(time.perf_counter() - start)
    return median(taken)


def machine_with_24_parts() -> Dossier:
    """A demo machine cut down to 24 wear paths and four walk-rounds."""
    yard = build_yard()
    one = next(
        m for m in yard.machines if len(m.dossier.walk_rounds) + 1 >= WALK_ROUNDS and m.dossier.gear.has_grousers
    )
    dossier = replace(one.dossier, walk_rounds=(*one.dossier.walk_rounds, one.sheet)[-WALK_ROUNDS:])
    count = 0
    kept = []
    for limit in dossier.limits:
        places = sum(place.part is limit.part for place in dossier.gear.places())
        if limit.limit_m is not None and limit.part is not PartKind.SLEW_RING and count + places <= PARTS:
            kept.append(limit)
            count += places
    return replace(dossier, limits=tuple(kept))


def lines_by_least_squares(dossier: Dossier) -> None:
    """One line per part by a general optimiser."""
    for life in lives_of(dossier, dossier.walk_rounds[-1].service_h).lives:
        hours = np.array([trace.service_h for trace in life.traces])
        wear = np.array([trace.life_used for trace in life.traces])
        if hours.size >= 2:
            least_squares(lambda line, h=hours, w=wear: line[0] + line[1] * h / 1000 - w, np.zeros(2))


def timings() -> dict[str, float]:
    """Seconds of each kind of work."""
    dossier, yard = machine_with_24_parts(), build_yard()
    verdict = judge(dossier)
    named = (replace(verdict, machine=replace(verdict.machine, name=f"Run {run}")) for run in range(REPEATS + 1))
    return {
        "least squares, part by part": seconds(lambda _: lines_by_least_squares(dossier)),
        "judge": seconds(lambda _: judge(dossier)),
        "paper": seconds(lambda _: verdict_pdf(next(named))),
        "verdict as JSON": seconds(lambda _: verdict_json(verdict)),
        "the demo yard, priced": seconds(
            lambda _: [judge(one.with_sheet, yard.prices) for one in yard.machines], repeats=3
        ),
    }


def timings_of(source: str) -> dict[str, float]:
    """The same by the `src` of another checkout, or of this one: each in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(Path(source).resolve())}
    command = [sys.executable, __file__, "--json"]
    done = subprocess.run(command, env=environment, check=True, capture_output=True, text=True)  # noqa: S603
    return dict(json.loads(done.stdout))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--beside", help="src folder of another checkout, timed in the same run")
    parser.add_argument("--json", action="store_true", help="print seconds as JSON, for the table")
    asked = parser.parse_args()
    if asked.json:
        json.dump(timings(), sys.stdout)
        return
    here = str(Path(__file__).parents[1] / "src")
    found = [timings_of(source) for source in (here, *([asked.beside] if asked.beside else []))]
    plain = found[0]["least squares, part by part"]
    print(f"{PARTS} parts, {WALK_ROUNDS} walk-rounds, {dt.date.today():%-d %b %Y}")  # noqa: DTZ011
    print(f"{'':28} {'seconds':>8} {'times the reference':>20}" + (f" {'beside':>8}" if asked.beside else ""))
    for name, taken in found[0].items():
        beside = f" {found[1][name]:8.3f}" if asked.beside else ""
        print(f"{name:28} {taken:8.3f} {taken / plain:20.2f}{beside}")


if __name__ == "__main__":
    main()
