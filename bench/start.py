"""How long commands take as whole processes, best of several, beside another checkout in the same run.

    python bench/start.py [--beside ../other/src] [--runs 5]

Each is run in turn, now of this checkout and now of the other, so that a busy computer is as busy for both. Processor time is
what the process itself took, and moves less than wall time with what else the computer does.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parents[1] / "src"
MACHINE = "08-heather"


def taken(source: Path, words: list[str]) -> tuple[float, float]:
    """Wall and processor time of one process [s]."""
    before, start = os.times(), time.perf_counter()
    subprocess.run(  # noqa: S603
        [sys.executable, *words],
        check=True,
        capture_output=True,
        env={**os.environ, "PYTHONPATH": str(source), "OPENBLAS_NUM_THREADS": "1"},
    )
    wall, after = time.perf_counter() - start, os.times()
    return wall, after.children_user + after.children_system - before.children_user - before.children_system


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--beside", type=Path, help="src folder of another checkout")
    parser.add_argument("--runs", type=int, default=5)
    asked = parser.parse_args()
    sources = {"here": HERE} | ({str(asked.beside): asked.beside.resolve()} if asked.beside else {})
    with tempfile.TemporaryDirectory() as folder:
        command = ["-m", "pitchline.cli"]
        taken(HERE, [*command, "demo", "--out", f"{folder}/demo"])
        yard = Path(folder) / "demo"
        sheet = next((yard / MACHINE).glob("sheet-*.csv"))
        files = [str(yard / MACHINE / "machine.json"), "--sheet", str(sheet), "--prices", str(yard / "prices.csv")]
        whole = {
            "python alone": ["-c", "pass"],
            "import pitchline": ["-c", "import pitchline"],
            "pitchline --help": [*command, "--help"],
            "pitchline judge": [*command, "judge", *files],
            "pitchline judge --pdf": [*command, "judge", *files, "--pdf", f"{folder}/paper.pdf"],
            "pitchline judge, with a plan": [*command, "judge", *files, "--horizon-hours", "3000"],
        }
        print(f"{'best of ' + str(asked.runs):30}{'wall':>8}{'processor':>11}")
        for name, words in whole.items():
            times: dict[str, list[tuple[float, float]]] = {source: [] for source in sources}
            for _ in range(asked.runs):
                for source, path in sources.items():
                    times[source].append(taken(path, words))
            for source, found in times.items():
                wall, processor = (min(column) for column in zip(*found, strict=True))
                print(f"{name:30}{wall:6.2f} s{processor:9.2f} s  {source if asked.beside else ''}".rstrip())


if __name__ == "__main__":
    main()
