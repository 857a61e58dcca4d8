"""The examples of docs/howto/use-the-api.md do what the page says, from top to bottom."""

import re
import shlex
import uuid
from pathlib import Path

import pytest

from pitchline.exchange.machine_file import machine_json

PAGE = Path(__file__).parents[3] / "docs" / "howto" / "use-the-api.md"
BLOCKS = re.findall(r"```sh\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
HEADS = {"-H": "headers", "-X": "method", "-d": "body", "--data-binary": "body", "-o": "out"}


def asked(words):
    """A curl call in its parts."""
    parts = {"headers": [], "method": "GET", "body": "", "address": ""}
    left = iter(words[1:])
    for word in left:
        if word not in HEADS:
            parts["address"] = word
        elif word == "-H":
            parts["headers"].append(next(left).split(": ", 1))
        else:
            parts[HEADS[word]] = next(left)
    return parts


@pytest.fixture
def files(later, priced):
    """What the page's @files hold."""
    return {
        "@machine.json": machine_json(later(0.6)).replace('"2026-11-02"', '"2026-10-05"').encode(),
        "@prices.csv": priced,
        "@yard.csv": b"name,kind,hours\nDozer Hazel,dozer,8150\n",
        "@papers.txt": b"words",
    }


@pytest.fixture
def run(client, files):
    """A factory: one line of the page, done."""
    known = {}

    def make(line):
        line = line.replace("$(new)", str(uuid.uuid4()))
        line = re.sub(r"\$([A-Z]+)", lambda found: known[found[1]], line)
        words = shlex.split(line)
        if words[0] != "curl":
            name, given, value = line.partition("=")
            assert given
            known[name] = known.get("now " + name, value)
            return None
        parts = asked(words)
        address = parts["address"].removeprefix(known["DESK"])
        headers = dict(parts["headers"])
        kind = headers.pop("Content-Type", "")
        body = files.get(parts["body"], parts["body"])
        answer = client.generic(parts["method"], address, body, kind, headers=headers)
        assert 200 <= answer.status_code < 300, (line, answer.content)
        if address.endswith("/machine-files"):
            known["now MACHINE"] = answer.json()["machine"]["id"]
        if address.endswith("/verdicts"):
            known["now VERDICT"] = answer.json()["id"]
        return answer

    return make


def test_examples_of_the_page_work_from_top_to_bottom(run, files):
    answers = {}
    for block in BLOCKS:
        for line in block.strip().splitlines():
            if not line.startswith(("pitchline ", "new()")):
                answers[line.split(" -H")[0]] = run(line)
    assert answers["curl $DESK/api/v1/machines/$MACHINE/file"].content == files["@machine.json"]
    assert answers["curl $DESK/api/v1/machines/$MACHINE/verdict"].json()["walk_rounds"][-1]["service_h"] == 3600.0
    assert (
        answers['curl "$DESK/api/v1/machines/$MACHINE/plan?horizon_h=600&what_ifs=true"'].json()["plan"]["stops"]
        is not None
    )


def test_chores_the_page_names_are_there():
    from django.core.management import get_commands

    for name in re.findall(r"python -m pitchline.desk (\w+)", PAGE.read_text(encoding="utf-8")):
        assert name in get_commands()
