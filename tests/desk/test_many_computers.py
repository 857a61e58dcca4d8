"""Several computers before one yard: one server's database, one folder of what is kept, and a folder of each one's own."""

import os
import subprocess
import sys
import uuid
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlencode

from beside_the_desk import Browser
from pitchline.desk import crew
from pitchline.desk.folders import key_of, make_folder
from pitchline.exchange.machine_file import machine_json

SERVER = bool(os.environ.get("PITCHLINE_DATABASE"))


def of_its_own(folder):
    return os.environ | {
        "PYTHONPATH": str(Path(crew.__file__).parents[2]),
        "PITCHLINE_DESK_HERE": str(folder),
    }


def test_what_is_done_at_one_stands_at_the_other(start_desk, until, tmp_path, dossier):
    """Where no server keeps the yard, a folder of one computer's own is refused before anything is opened."""
    if not SERVER:
        call = [sys.executable, "-m", "pitchline.cli", "desk", "--data", str(tmp_path), "--port", "0"]
        told = subprocess.run(call, capture_output=True, text=True, env=of_its_own(tmp_path / "one"))  # noqa: S603  ourselves
        assert told.returncode == 2
        assert "PITCHLINE_DESK_HERE" in told.stderr
        assert "Set PITCHLINE_DATABASE" in told.stderr
        assert not (tmp_path / "one").exists()
        return
    one, other = (start_desk(env=of_its_own(tmp_path / name)) for name in ("one", "other"))
    here, there = Browser(one.port), Browser(other.port)
    ours = replace(dossier, machine=replace(dossier.machine, machine_id="of-two", name="Before two computers"))
    assert here.bring("machine.json", machine_json(ours)) == 302
    machine = there.read("/api/v1/machines?text=Before+two")["items"][0]["id"]
    sheet = uuid.uuid4()
    begin = urlencode({"sheet_id": str(sheet)})
    assert here.send("POST", f"/machines/{machine}/begin/", begin)[0] == 302
    at = "bottom_roller/left/1:tread_diameter"
    body = urlencode({"writer": uuid.uuid4().hex, f"{at}~1": "150.5", f"{at}~v": "0"})
    assert there.send("POST", f"/walk-rounds/{sheet}/save/", body)[0] == 200
    assert 'value="150.5"' in here.send("GET", f"/walk-rounds/{sheet}/")[1]
    until(lambda: there.read(f"/api/v1/machines/{machine}/verdicts")["count"] > 0)
    assert (
        here.send("POST", f"/machines/{machine}/archive/", urlencode({"archived": "1"}))[0] == 302
    )  # others share the server
    assert {path.name for path in (tmp_path / "one").iterdir()} >= {"static", "desk.lock", "pieces.sqlite3"}
    assert not (tmp_path / "one" / "secret.key").exists()


def test_the_key_of_whoever_comes_first_is_everybody_s(tmp_path, monkeypatch):
    """Two computers that begin the folder at the same moment sign with one key."""
    folder = tmp_path / "yard"
    seen = Path.exists

    def not_yet(path):
        return False if path.name == "secret.key" else seen(path)

    make_folder(folder)
    first = key_of(folder)
    monkeypatch.setattr(Path, "exists", not_yet)
    make_folder(folder)
    assert key_of(folder) == first
    assert sorted(path.name for path in folder.iterdir()) == ["new", "secret.key"]
