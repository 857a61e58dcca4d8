"""Tries a wheel as an office computer would: an empty environment, an empty home, nothing of the checkout in reach.

python scripts/try_wheel.py build/pitchline-0.8.0-py3-none-any.whl
"""

import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
import venv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PATIENCE_S = 600.0
WINDOWS = sys.platform == "win32"


class Office:
    """A computer with Python alone, and the wheel installed on it by one line."""

    def __init__(self, folder: Path, wheel: Path) -> None:
        self.work, home, installed = folder / "work", folder / "home", folder / "installed"
        for made in (self.work, home):
            made.mkdir()
        venv.create(installed, with_pip=True)
        self._bin = installed / ("Scripts" if WINDOWS else "bin")
        places = ("HOME", "USERPROFILE", "APPDATA", "LOCALAPPDATA")
        taken = ("PYTHONPATH", "VIRTUAL_ENV", "XDG_DATA_HOME", "DISPLAY", "WAYLAND_DISPLAY")
        self._env = {
            name: value for name, value in os.environ.items() if name not in taken and "PITCHLINE" not in name
        }
        self._env |= dict.fromkeys(places, str(home)) | {"PATH": f"{self._bin}{os.pathsep}{os.environ['PATH']}"}
        self.call("python", "-m", "pip", "install", "--quiet", str(wheel))

    def start(self, *words: str) -> "subprocess.Popen[str]":
        """A command, started."""
        call = [str(self._bin / words[0]), *words[1:]]
        return subprocess.Popen(call, cwd=self.work, env=self._env, stdout=subprocess.PIPE, encoding="utf-8")  # noqa: S603

    def call(self, *words: str) -> str:
        """What a command prints."""
        ended = self.start(*words)
        said, _ = ended.communicate()
        if ended.returncode:
            raise SystemExit(f"{' '.join(words)}: ended with {ended.returncode}")
        print("tried:", " ".join(words), flush=True)
        return said

    @contextmanager
    def desk(self) -> Iterator[str]:
        """The address of the demo yard's desk; told to close afterwards, it closes."""
        desk = self.start("pitchline", "desk", "--demo", "--port", "0")
        try:
            if desk.stdout is None:
                raise AssertionError("asked for")
            for line in desk.stdout:
                print("  ", line, end="", flush=True)
                if found := re.search(r"open at (http://\S+)/ ", line):
                    yield found[1]
                    break
            desk.send_signal(signal.SIGTERM if WINDOWS else signal.SIGINT)
            said, _ = desk.communicate(timeout=PATIENCE_S)
            if not WINDOWS and (desk.returncode, said.splitlines()[-1]) != (0, "The desk is closed."):
                raise SystemExit(f"the desk closed with {desk.returncode}: {said}")
        finally:
            desk.kill()


def page(address: str) -> bytes:
    """What stands at an address."""
    try:
        with urllib.request.urlopen(address, timeout=PATIENCE_S) as answer:  # noqa: S310  our own desk
            found: bytes = answer.read()
            return found
    except urllib.error.HTTPError as error:
        raise SystemExit(f"{address}: {error.code}") from None


def try_files(office: Office) -> None:
    """The demo yard as files: judged, drawn, written."""
    office.call("pitchline", "demo")
    machine = sorted((office.work / "demo").glob("*/machine.json"))[0]
    sheet = sorted(machine.parent.glob("sheet-*"))[0]
    office.call(
        "pitchline", "judge", str(machine), "--sheet", str(sheet), "--prices", "demo/prices.csv", "--pdf", "p.pdf"
    )
    office.call("pitchline", "sheet", str(machine), "--out", "sheet.pdf")
    for name, start in {
        "p.pdf": b"%PDF",
        "sheet.pdf": b"%PDF",
        "side.svg": b"<svg",
        "side.png": b"\x89PNG",
    }.items():
        if name.startswith("side"):
            office.call("pitchline", "picture", str(machine), "--out", name)
        if not (office.work / name).read_bytes().startswith(start):
            raise SystemExit(f"{name} is not what it should be")


def try_desk(office: Office) -> None:
    """The demo yard at the desk: judged in the background, its pages, what they load, a paper."""
    with office.desk() as at:
        end = time.monotonic() + PATIENCE_S
        while json.loads(page(f"{at}/api/v1/yard"))["waiting"]:
            if time.monotonic() > end:
                raise SystemExit("the demo yard is not judged")
            time.sleep(0.5)
        seen, waiting = set[str](), ["/"]
        while waiting:
            path = waiting.pop()
            if path not in seen:
                seen.add(path)
                text = page(at + path).decode("utf-8", "replace")
                if len(seen) == 1:  # the yard: on to its first machine
                    waiting += re.findall(r'href="(/machines/[0-9a-f-]{36}/)"', text)[:1]
                if path.startswith("/machines/") and path.count("/") == 3:  # its links, papers among them
                    waiting += [link for link in re.findall(r'href="(/[^"#?]*)"', text) if link.startswith(path)]
                waiting += re.findall(r'(?:href|src)="(/static/[^"]+)"', text)
                waiting += [
                    f"/static/desk/{name}"
                    for name in re.findall(r'url\("?([\w.-]+)"?\)', text)
                    if "/static/" in path
                ]
        kinds = {name.rpartition(".")[2] for name in seen if "." in name}
        print(f"tried: {len(seen)} addresses of the desk, {', '.join(sorted(kinds))} among them")
        if not {"css", "js", "pdf"} <= kinds:
            raise SystemExit(f"of what a page loads only {kinds} were found")


def main() -> None:
    """Install, then try."""
    with tempfile.TemporaryDirectory() as folder:
        office = Office(Path(folder), Path(sys.argv[1]).absolute())
        try_files(office)
        try_desk(office)
    print("The wheel works on a computer with Python alone.")


if __name__ == "__main__":
    main()
