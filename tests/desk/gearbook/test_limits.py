"""Limits of a machine: a table tried before it counts, curves, what was learned beside what was entered."""

import csv
import io
import json

import numpy as np
import pytest
from openpyxl import load_workbook

from pitchline.desk.learning.actions import bring_constants, use
from pitchline.desk.machine.lines import lines_of
from pitchline.desk.machine.models import Machine
from pitchline.exchange.learned_file import learned_json
from pitchline.outlook.learned import Learned, kind_word
from pitchline.outlook.learned_limit import learned_limit
from pitchline.trade.units import UnitSystem

HEAD = "machine;T1\nunit;mm\n\npart;quantity;new;limit;source\n"


@pytest.fixture
def bring_table(client, machine, tmp_path):
    """A factory of tables brought in on the machine's page."""

    def make(rows, name="limits.csv"):
        path = tmp_path / name
        path.write_text(HEAD + rows, encoding="utf-8")
        with path.open("rb") as file:
            return client.post(f"/machines/{machine.pk}/limits/bring/", {"files": file})

    return make


@pytest.fixture
def learned():
    """Removals of an invented yard: rails taken off at about 0.9 of their life, four of five for wear."""
    from pitchline.outlook.constants import weak_priors
    from pitchline.outlook.late import none_late

    word = kind_word("link", "rail_height")
    used = np.array([0.88, 0.90, 0.92, 0.91, 0.60])
    limit = learned_limit(used, np.full(5, 0.02), np.array([True, True, True, True, False]))
    priors = weak_priors(np.array([np.log(5000.0)]), np.array([0.5]))
    return Learned((word,), priors, none_late(1), 5, 5, 20, {word: limit})


def test_table_is_tried_and_changes_nothing(machine, bring_table, words):
    answer = bring_table("link rail;link rail height;112;99;manual 4\n")
    assert answer.status_code == 200
    text = words(answer)
    assert "is read and nothing is changed yet: 1 line would change" in text
    assert "was: 110 mm · 100 mm · invented" in text
    assert 'value="112 mm"' in answer.content.decode()
    now = Machine.objects.get(pk=machine.pk)
    assert (now.version, now.file_text) == (machine.version, machine.file_text)


def test_what_was_tried_is_saved_by_the_form(client, machine, bring_table):
    bring_table("link rail;link rail height;112;99;manual 4\n")
    post = {"seen_version": str(machine.version), "why": "from limits.csv"}
    for limit in json.loads(machine.file_text)["limits"]:
        key = f"{limit['part']}:{limit['measurand']}"
        post |= {f"{key}~{name}": limit.get(name, "") for name in ("new", "limit", "source")}
    client.post(f"/machines/{machine.pk}/limits/", post | {"link:rail_height~new": "112 mm"})
    limits = {one["measurand"]: one for one in json.loads(Machine.objects.get(pk=machine.pk).file_text)["limits"]}
    assert limits["rail_height"]["new"] == "112 mm"
    assert limits["pitch"] == json.loads(machine.file_text)["limits"][0]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("link rail;link rail height;99;112;x\n", "because it falls with wear"),
        ("moon;link rail height;112;99;x\n", "moon"),
        ("link rail;pitch per joint;112;99;x\n", "link rail"),
        (
            "idler;tread depth below the centre flange;20;30;x\nidler;tread depth below the centre flange;2;3;x\n",
            "once",
        ),
        ("rubber track;rubber lug height;30;10;x\n", "one that wears on this machine"),
    ],
)
def test_table_that_cannot_be_is_told_by_its_row(machine, bring_table, words, rows, told):
    answer = bring_table(rows)
    assert answer.status_code == 400
    assert told in words(answer)
    assert Machine.objects.get(pk=machine.pk).version == machine.version


def test_table_out_and_in_again_changes_nothing(client, machine, words, tmp_path):
    for ending in ("csv", "xlsx"):
        sent = client.get(f"/machines/{machine.pk}/limits.{ending}")
        path = tmp_path / f"limits.{ending}"
        path.write_bytes(sent.content)
        with path.open("rb") as file:
            answer = client.post(f"/machines/{machine.pk}/limits/bring/", {"files": file})
        assert "0 lines would change" in words(answer), ending
    rows = load_workbook(io.BytesIO(sent.content)).active
    assert rows["A1"].value == "machine"


def test_formula_in_a_source_is_no_formula_in_the_table(client, machine):
    """A cell that a spreadsheet would run is shielded (OWASP, CSV injection)."""
    whole = json.loads(machine.file_text)
    whole["limits"][0]["source"] = "=1+1"
    Machine.objects.filter(pk=machine.pk).update(file_text=json.dumps(whole))
    text = client.get(f"/machines/{machine.pk}/limits.csv").content.decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(text), delimiter=";" if ";" in text else ",") for cell in row]
    assert "=1+1" not in cells
    assert any(cell.endswith("=1+1") for cell in cells)


def test_curve_runs_from_new_to_the_limit(dossier):
    """A straight line: the middle of the curve is half way up, 24 of 48 pixels."""
    lines = {line.what: line for line in lines_of(dossier, None, UnitSystem.METRIC)}
    rail = lines["link rail height, link rail"]
    assert (rail.new, rail.limit) == ("110.0 mm", "100.0 mm")
    way = rail.curve.split('class="way" d="M')[1].split('"')[0].split("L")
    assert way[0].split()[1] == "44.0"
    assert way[12].split()[1] == "24.0"
    assert way[-1].split()[1] == "4.0"


def test_learned_limit_stands_beside_the_entered_one(client, actor, machine, learned, words):
    """0.9 of the way from 110 to 100 mm is 101 mm; four of five came off for wear."""
    use(actor, bring_constants(actor, name="constants.json", text=learned_json(learned, "an invented yard")).pk)
    text = words(client.get(f"/machines/{machine.pk}/limits/"))
    assert "taken off at 101.0 mm" in text
    assert "4 worn-out of 5 removals" in text
    assert json.loads(Machine.objects.get(pk=machine.pk).file_text)["limits"][2]["limit"] == "100 mm"
