"""For whoever runs the desk: ready or not, what it counts, what its log says, and that every setting is told of."""

import json
import logging
import re
import tomllib
from pathlib import Path

import pytest
from django.db import DatabaseError, connection
from django.utils.log import DEFAULT_LOGGING  # noqa: F401  the logging of the framework is loaded
from pythonjsonlogger.json import JsonFormatter

from pitchline.desk.running.views import ready
from pitchline.desk.running.watch import OfRequest

ROOT = Path(__file__).parents[3]


def test_ready_asks_the_database_and_alive_does_not(client, db, rf, monkeypatch):
    assert client.get("/ready").json() == {"pitchline": "ready"}

    def away():
        raise DatabaseError("gone")

    with monkeypatch.context() as patched:
        patched.setattr(connection, "cursor", away)
        assert ready(rf.get("/ready")).status_code == 503


def test_figures_are_for_who_knows_the_word_alone(client, machine, settings):
    assert client.get("/metrics").status_code == 404
    settings.METRICS = "word"
    assert client.get("/metrics").status_code == 404
    assert client.get("/metrics", headers={"Authorization": "Bearer wrong"}).status_code == 404
    client.get(f"/machines/{machine.pk}/changes/")
    told = client.get("/metrics", headers={"Authorization": "Bearer word"}).content.decode()
    assert 'pitchline_requests_total{address="changes",method="GET",status="200"}' in told
    assert "pitchline_machines 1.0" in told
    assert str(machine.pk) not in told


def test_each_line_has_request_and_person_and_no_secret(owner_client, owner):
    lines, handler = [], logging.Handler()
    handler.addFilter(OfRequest())
    handler.setFormatter(JsonFormatter("%(asctime)s %(levelname)s %(request_id)s %(person)s %(message)s"))
    handler.emit = lambda record: lines.append(handler.format(record))
    secret = "s" * 43
    noted = [logging.getLogger(name) for name in ("pitchline.requests", "django.request", "django.security")]
    levels = [one.level for one in noted]
    try:
        for one in noted:
            one.addHandler(handler)
            one.setLevel(logging.INFO)
        answer = owner_client.get("/")
        owner_client.get(f"/calendar/{secret}.ics")
        owner_client.get("/", headers={"Host": "elsewhere.example"})
    finally:
        for one, level in zip(noted, levels, strict=True):
            one.removeHandler(handler)
            one.setLevel(level)
    first = json.loads(lines[0])
    assert (first["request_id"], first["person"], first["levelname"]) == (answer["X-Request-Id"], "owner", "INFO")
    assert (first["address"], first["status"]) == ("yard", 200)
    assert secret not in "\n".join(lines)
    assert "Traceback" not in "\n".join(lines)


def test_every_setting_stands_on_the_page_of_settings_and_nowhere_a_wrong_one():
    code = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "src" / "pitchline").rglob("*.py"))
    read = set(re.findall(r"PITCHLINE_[A-Z_]+[A-Z]", code))
    told = re.findall(
        r"^\| `([A-Z_]+)`", (ROOT / "docs/reference/settings.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert sorted(told) == sorted(read | {"TZ"})


@pytest.mark.parametrize("name", ["Containerfile", "compose.yaml", "pitchline.service"])
def test_recipes_name_settings_and_commands_that_are_there(name):
    text = (ROOT / "deploy" / name).read_text(encoding="utf-8")
    told = (ROOT / "docs/reference/settings.md").read_text(encoding="utf-8")
    assert all(f"`{one}`" in told for one in re.findall(r"PITCHLINE_[A-Z_]+[A-Z]", text))
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert "pitchline" in wanted
    assert "pitchline" in text
