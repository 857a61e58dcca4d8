"""Copies taken while people write, put back; a disk that is full again and again; and a yard moved to a server.

    python bench/safe.py copies [--many 12]     each copy, put back, holds what was answered as saved before it was begun
    python bench/safe.py full [--many 50] [--postgres]    needs the right to mount a small disk of memory
    scripts/with-postgres python bench/safe.py move

kill -9 is tried by tests/desk/test_kill.py with PITCHLINE_KILLS=200, on SQLite and under scripts/with-postgres.
"""

# ruff: noqa: S311, S603, S607  programs of this computer, on files of our own
import argparse
import json
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time
import uuid
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "desk")]
CLI = [sys.executable, "-m", "pitchline.cli"]


def cli(*words: str, env: dict[str, str] | None = None) -> None:
    done = subprocess.run([*CLI, *words], capture_output=True, text=True, check=False, env=env)
    assert done.returncode == 0, done.stderr


@contextmanager
def desk_with_writers(
    folder: Path, served: bool = False
) -> Iterator[tuple[list[Any], uuid.UUID, subprocess.Popen[str]]]:
    """A desk on a folder, and four people saving at one walk-round."""
    from test_kill import KEYS, WRITERS, Writer

    from beside_the_desk import Browser

    env = {name: value for name, value in os.environ.items() if served or name != "PITCHLINE_DATABASE"}
    call = [*CLI, "desk", "--data", str(folder), "--port", "0", "--no-browser"]
    desk = subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=env)
    assert desk.stdout is not None
    try:
        said = desk.stdout.readline()
        port = int(said.split("127.0.0.1:")[1].split("/")[0])
        first = Browser(port)
        text = _machine()
        assert first.bring("machine.json", text) == 302
        machine = re.search(r'href="/machines/([0-9a-f-]{36})/"', first.send("GET", "/")[1])
        assert machine is not None
        sheet = uuid.uuid4()
        assert first.send("POST", f"/machines/{machine[1]}/begin/", urlencode({"sheet_id": str(sheet)}))[0] == 302
        over = threading.Event()
        writers = [Writer(port, sheet, KEYS[number::WRITERS], over) for number in range(WRITERS)]
        for writer in writers:
            writer.start()
        try:
            yield writers, sheet, desk
        finally:
            over.set()
            for writer in writers:
                writer.join(60)
    finally:
        desk.send_signal(signal.SIGTERM)
        desk.wait(60)


def _machine() -> str:
    from pitchline.demo.yard import build_yard
    from pitchline.exchange.machine_file import machine_json

    return machine_json(
        next(one.dossier for one in build_yard().machines if one.dossier.gear.bottom_rollers_per_side >= 4)
    )


def saved(writers: list[Any]) -> dict[str, int]:
    return {key: number for writer in writers for key, number in writer.saved.items()}


def copies(many: int) -> None:
    """Copies taken at chance moments while people write."""
    chance = random.Random(20261130)
    with tempfile.TemporaryDirectory(prefix="pitchline-safe-") as name:
        folder = Path(name)
        with desk_with_writers(folder / "yard") as (writers, sheet, _):
            held = []
            for number in range(many):
                time.sleep(chance.random())
                before = saved(writers)
                cli("backup", str(folder / f"{number}.zip"), "--data", str(folder / "yard"))
                held.append(before)
            answered = sum(writer.answered for writer in writers)
            refused = [one for writer in writers for one in writer.refused]
        for number, before in enumerate(held):
            with zipfile.ZipFile(folder / f"{number}.zip") as archive:
                rows = [json.loads(line) for line in archive.read("rows/walkround.ReadingRow.jsonl").splitlines()]
            found = {
                f"{row['part']}/{row['side']}/{row['position']}:{row['measurand']}": int(row["typed"][0]) - 100_000
                for row in rows
                if uuid.UUID(row["sheet_id"]) == sheet
            }
            lost = {key: (value, found.get(key)) for key, value in before.items() if found.get(key, 0) < value}
            assert not lost, lost
        cli("restore", str(folder / f"{many - 1}.zip"), "--data", str(folder / "again"))
        cli("check", "--data", str(folder / "again"))
        print(
            f"{many} copies while {answered} savings were answered: each holds all answered before it; refused: {len(refused)}"
        )


def full(many: int, postgres: bool) -> None:
    """A disk that is full, and has room again: with SQLite the yard's, with PostgreSQL the server's."""
    with tempfile.TemporaryDirectory(prefix="pitchline-full-") as name:
        disk = Path(name) / "disk"
        disk.mkdir()
        Path(name).chmod(0o755)  # a server that runs as another reaches its folder
        size = "200m" if postgres else "40m"
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size},mode=1777", "none", disk], check=True)
        try:
            if not postgres:
                filled(many, disk, disk / "yard")
                return
            call = [str(ROOT / "scripts" / "with-postgres"), sys.executable, __file__, "full", "--many", str(many)]
            # Whatever is answered as saved has to be on the disk: the server keeps its own settings for that.
            env = os.environ | {
                "TMPDIR": str(disk),
                "PITCHLINE_POSTGRES_SET": "-c max_wal_size=48MB -c min_wal_size=32MB",
            }
            subprocess.run([*call, "--disk", str(disk)], check=True, env=env)
        finally:
            subprocess.run(["umount", "-l", disk], check=True)


def filled(many: int, disk: Path, folder: Path, served: bool = False) -> None:
    """The disk full for a while, again and again, under a desk that is written to."""
    from test_kill import stored

    chance = random.Random(20261130)
    with desk_with_writers(folder, served) as (writers, sheet, _):
        for _ in range(many):
            time.sleep(chance.random() / 2)
            ballast = disk / "ballast"
            with suppress(OSError), ballast.open("wb", buffering=0) as stream:
                for piece in (1024**2, 4096):
                    with suppress(OSError):
                        while True:
                            stream.write(b"x" * piece)
            time.sleep(0.2 + chance.random() / 2)
            ballast.unlink(missing_ok=True)
            more = sum(writer.answered for writer in writers) + 1
            end = time.monotonic() + 60
            while sum(writer.answered for writer in writers) < more:  # it goes on by itself once there is room
                assert time.monotonic() < end, "it saved nothing more"
                time.sleep(0.02)
        held = saved(writers)
        refused = [one for writer in writers for one in writer.refused]
        answered = sum(writer.answered for writer in writers)
    found, sound = stored(folder, sheet)
    assert sound == "ok"
    lost = {key: (value, found.get(key)) for key, value in held.items() if found.get(key, 0) < value}
    assert not lost, lost
    in_words = sum("The disk is full" in text for _, text in refused)
    other = sorted({text[:100] for _, text in refused if "The disk is full" not in text})
    print(
        f"full {many} times: {answered} savings answered, all there; {len(refused)} refused, {in_words} saying so; {other}"
    )


def move() -> None:
    """The demo yard from SQLite to the server that is set: every row of it compared, and every paper of some machines."""
    with tempfile.TemporaryDirectory(prefix="pitchline-move-") as name:
        folder = Path(name)
        alone = {key: value for key, value in os.environ.items() if key != "PITCHLINE_DATABASE"}
        made = (
            "from pitchline.desk.serve import *; prepare(Address(), Path(sys.argv[1])); open_demo()\n"
            "from pitchline.desk.people.middleware import local_actor; from pitchline.desk.machine.judging import judge_machine\n"
            "from pitchline.desk.machine.models import Machine; actor = local_actor()\n"
            "[judge_machine(actor, one.pk) for one in Machine.objects.exclude(last_walk_on=None).order_by('name')[:6]]"
        )
        subprocess.run([sys.executable, "-c", made, str(folder / "old")], check=True, env=alone)
        cli("backup", str(folder / "old.zip"), "--data", str(folder / "old"), env=alone)
        cli("restore", str(folder / "old"), "--data", str(folder / "new"))
        cli("check", "--data", str(folder / "new"))
        cli("backup", str(folder / "new.zip"), "--data", str(folder / "new"))
        heads = []
        for one in ("old", "new"):
            with zipfile.ZipFile(folder / f"{one}.zip") as archive:
                heads.append(json.loads(archive.read("backup.json")))
        assert heads[0]["sums"] == heads[1]["sums"]
        told = [
            subprocess.run(
                [sys.executable, ROOT / "tests" / "papers_told.py"], check=True, capture_output=True,
                env=env | {"PITCHLINE_DESK_DATA": str(folder / one)},
            ).stdout
            for one, env in (("old", alone), ("new", dict(os.environ)))
        ]  # fmt: skip
        old, new = map(json.loads, told)
        assert old.keys() == new.keys()
        assert not (unlike := {name: (old[name], new[name]) for name in old if old[name] != new[name]}), unlike
        many = sum(status == 200 for status, _ in old.values())
        print(f"moved: {sum(heads[0]['rows'].values())} rows and {many} papers, each the same to the byte")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=("copies", "full", "move"))
    parser.add_argument("--many", type=int, default=0)
    parser.add_argument("--postgres", action="store_true")
    parser.add_argument("--disk", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.what == "move":
        move()
    elif asked.what == "copies":
        copies(asked.many or 12)
    elif asked.disk:
        with tempfile.TemporaryDirectory(dir="/var/tmp") as folder:
            filled(asked.many, asked.disk, Path(folder), served=True)
    else:
        full(asked.many or 50, asked.postgres)
