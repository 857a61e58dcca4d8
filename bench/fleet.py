"""A fleet from its tables to its hours left, by one worker and by several: rows a second, and the share no worker can take over.

    python bench/fleet.py [--machines 16000] [--workers 1 2] [--forms csv parquet] [--learn] [--cluster]

Each run is a process of its own. Counted are processor seconds of the parent and of all its workers, which hold on a busy
computer too; the time by the clock beside them needs a quiet one, so the load is said. The serial share is what the parent
spends of all there is when it only hands out and adds up (two workers or more); s of it let n workers be at most
1 / (s + (1 - s) / n) times as fast (Amdahl 1967, from memory). Starting the workers is told by the clock alone.
`--cluster` has a Dask cluster of this computer's own do the same, for what that costs beside the pool. All bits have to agree.
 The fleet is invented by bench/fleet_simulator.py.
"""

import argparse
import ctypes
import hashlib
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fleet_simulator import simulate, write_tables

_SEED, _LEARNED_FROM = 5, 200
_PARENT_OF_ORPHANS = (
    36  # prctl(2), PR_SET_CHILD_SUBREAPER: what our children leave behind is waited for, and so counted, here
)


def main() -> None:
    asked = _asked()
    if asked.one:
        print(json.dumps(_one(asked)))
        return
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PARENT_OF_ORPHANS, 1, 0, 0, 0)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_tables(simulate(_LEARNED_FROM, _SEED + 1), folder / "few", parquet=False)
        write_tables(simulate(asked.machines, _SEED), folder / "csv")
        (folder / "csv" / "parquet").rename(folder / "parquet")
        _run(["--tables", folder / "few", "--save", folder / "constants.json"])
        constants = [] if asked.learn else ["--constants", folder / "constants.json"]
        for form in asked.forms:
            print(
                f"\n{asked.machines:,} machines, {form} in and out, constants {'learned' if asked.learn else 'given'}:"
            )
            print("workers   wall s  parts/s  parent cpu s  workers cpu s  serial share  load")
            bits = set()
            for way in [["--workers", count] for count in asked.workers] + (
                [["--cluster", "--workers", asked.workers[-1]]] if asked.cluster else []
            ):
                out = folder / f"out.{form}"
                _told(way, *_run(["--tables", folder / form, "--out", out, *way, *constants]))
                bits.add(hashlib.sha256(out.read_bytes()).hexdigest())
            print("the same bits" if len(bits) == 1 else f"OTHER BITS: {bits}")


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--machines", type=int, default=16_000)
    parser.add_argument("--workers", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--forms", nargs="+", default=["csv", "parquet"])
    parser.add_argument("--learn", action="store_true")
    parser.add_argument("--cluster", action="store_true")
    for name in ("one", "tables", "out", "constants", "save"):
        parser.add_argument(
            f"--{name}", help=argparse.SUPPRESS, **({"action": "store_true"} if name == "one" else {"type": Path})
        )
    return parser.parse_args()


def _one(asked: argparse.Namespace) -> dict[str, float]:
    """One run, in a process that has just begun."""
    from pitchline.exchange.learned_file import read_learned, write_learned
    from pitchline.fleet.run import run_outlook

    known = asked.constants and read_learned(asked.constants)
    with _scheduler(asked) as scheduler:
        clock, used = time.perf_counter(), time.process_time()
        found = run_outlook(asked.tables, asked.out, known, cores=asked.workers[0], scheduler=scheduler)
    told = {
        "wall": time.perf_counter() - clock,
        "parent": time.process_time() - used,
        "parts": found.summary.parts,
    }
    if asked.save:
        write_learned(found.learned, asked.save, "bench")
    return told


@contextmanager
def _scheduler(asked: argparse.Namespace) -> Iterator[str | None]:
    """A Dask cluster of as many workers, where it is asked for; its scheduler is in this process."""
    if not asked.cluster:
        yield None
        return
    from distributed import LocalCluster

    with LocalCluster(n_workers=asked.workers[-1], threads_per_worker=1, dashboard_address=None) as cluster:
        yield cluster.scheduler_address


def _run(words: list[object]) -> tuple[dict[str, float], float]:
    """What a run said of itself, and the processor seconds of all it started."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, __file__, "--one", *map(str, words)]
    compiled = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    said = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True, env=compiled).stdout  # noqa: S603  ourselves
    try:
        while True:
            os.wait()
    except ChildProcessError:
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return json.loads(said), after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _told(way: list[object], said: dict[str, float], all_s: float) -> None:
    name = way[1] if len(way) == 2 else f"Dask {way[2]}"
    workers_s = all_s - said["parent"]
    share = f"{said['parent'] / all_s:12.1%}" if name != 1 else " " * 12
    print(
        f"{name:>7}{said['wall']:9.1f}{said['parts'] / said['wall']:9,.0f}{said['parent']:14.2f}{workers_s:15.2f}  {share}  "
        f"{os.getloadavg()[0]:.1f}",
        flush=True,
    )


if __name__ == "__main__":
    main()
