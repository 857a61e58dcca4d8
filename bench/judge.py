"""How long one judgement and one paper take, beside a general-purpose reference on the same machine in the same run.

The reference: scipy.optimize.least_squares fitting one straight line per part (start and rate) to the same readings, part by
part. It gives neither ranges that hold nor anything for parts read once; it puts the time into proportion. The machine's name
changes from run to run, so that nothing is answered from a cache. Run with `make bench`, or beside another checkout:

    python bench/judge.py --beside ../other/src
    python bench/judge.py --yard 306 --beside ../other/src

With `--yard`, a yard of so many machines made by the demo's recipe from other seeds is judged by the desk itself, each checkout
in turn: first anew as after an upgrade, then for the next day. What 5,000 would take is reckoned from it, and says so.
"""

import argparse
import datetime as dt
import json
import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
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
WHOLE_YARD = 5000
DAYS = {"all anew": "2026-11-26", "for the next day": "2026-11-27"}
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


def fill(folder: Path, machines: int) -> None:
    """A desk's folder with so many machines, each unlike the others, marked for judging."""
    from pitchline.demo.files import write_yard
    from pitchline.demo.yard import weeks_to
    from pitchline.desk.serve import Address, prepare

    prepare(Address(), folder)
    from pitchline.desk.people.middleware import local_actor
    from pitchline.desk.uploads import Upload
    from pitchline.desk.yard.importing import bring_in, found_in

    seed, made = 0, 0
    while made < machines:
        seed += 1
        whole = build_yard(seed, weeks_to(dt.date.fromisoformat(DAYS["all anew"])))
        sent = []
        with tempfile.TemporaryDirectory() as written:
            for path in write_yard(replace(whole, machines=whole.machines[: machines - made]), Path(written)):
                name, content = path.parent.name, path.read_bytes()
                if path.suffix in (".csv", ".json") and path.parent != Path(written):
                    content = content.replace(name.encode(), f"{name}-{seed}".encode())
                    sent.append(Upload(f"{name}-{seed}", path.name.replace(name, f"{name}-{seed}"), content))
                elif path.name == "prices.csv" and seed == 1:
                    sent.append(Upload(".", path.name, content))
        made += len(bring_in(local_actor(), found_in(sent)).added)


def yard_timings(source: str, machines: int) -> dict[str, tuple[float, float]]:
    """Seconds a desk of a checkout takes to judge a yard, and processor seconds of it and its processes."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "PYTHONPATH": str(Path(source).resolve()), "OPENBLAS_NUM_THREADS": "1"}
        filling = [sys.executable, __file__, "--fill", folder, "--yard", str(machines)]
        subprocess.run(filling, env=environment | {"PITCHLINE_TODAY": DAYS["all anew"]}, check=True)  # noqa: S603
        for name, day in DAYS.items():
            before = os.times()
            desk = subprocess.Popen(  # noqa: S603
                [sys.executable, "-m", "pitchline.cli", "desk", "--data", folder, "--port", "0"],
                env=environment | {"PITCHLINE_TODAY": day},
                stdout=subprocess.PIPE,
            )
            if desk.stdout is None or b"open at" not in desk.stdout.readline():
                raise RuntimeError("the desk did not start")
            start = time.perf_counter()
            with closing(sqlite3.connect(f"file:{folder}/desk.sqlite3?mode=ro", uri=True, timeout=60)) as database:
                asked = (
                    "SELECT count(*) FROM machine_machine WHERE to_judge OR judged_for IS NULL OR judged_for < ?"
                )
                while database.execute(asked, (day,)).fetchone()[0]:
                    time.sleep(0.2)
            wall = time.perf_counter() - start
            desk.terminate()
            desk.wait()
            after = os.times()
            worked = after.children_user + after.children_system - before.children_user - before.children_system
            found[name] = (wall, worked)
    return found


def print_yard(sources: list[str], machines: int) -> None:
    """The table of a whole yard."""
    cores = os.cpu_count() or 1
    print(f"a yard of {machines} machines by the demo's recipe, judged and drawn by the desk, {cores} cores")
    print(
        f"{WHOLE_YARD:,} machines are reckoned: by the clock, and by processor time, were the cores idle but for this"
    )
    print(f"{'':18} {'seconds':>8} {'processor':>10} {f'{WHOLE_YARD:,} by clock':>15} {'by processor':>15}")
    for source in sources:
        print(source)
        for name, (wall, worked) in yard_timings(source, machines).items():
            clock, idle = (taken / machines * WHOLE_YARD / 60 for taken in (wall, worked / cores))
            print(f"{name:18} {wall:6.1f} s {worked:8.1f} s {clock:11.1f} min {idle:11.1f} min", flush=True)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--beside", help="src folder of another checkout, timed in the same run")
    parser.add_argument("--json", action="store_true", help="print seconds as JSON, for the table")
    parser.add_argument(
        "--yard", type=int, metavar="MACHINES", help="time the desk judging a yard of so many instead"
    )
    parser.add_argument("--fill", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.fill is not None:
        fill(asked.fill, asked.yard)
        return
    if asked.json:
        json.dump(timings(), sys.stdout)
        return
    here = str(Path(__file__).parents[1] / "src")
    if asked.yard:
        print_yard([here, *([asked.beside] if asked.beside else [])], asked.yard)
        return
    found = [timings_of(source) for source in (here, *([asked.beside] if asked.beside else []))]
    plain = found[0]["least squares, part by part"]
    print(f"{PARTS} parts, {WALK_ROUNDS} walk-rounds, {dt.date.today():%-d %b %Y}")  # noqa: DTZ011
    print(f"{'':28} {'seconds':>8} {'times the reference':>20}" + (f" {'beside':>8}" if asked.beside else ""))
    for name, taken in found[0].items():
        beside = f" {found[1][name]:8.3f}" if asked.beside else ""
        print(f"{name:28} {taken:8.3f} {taken / plain:20.2f}{beside}")


if __name__ == "__main__":
    main()
