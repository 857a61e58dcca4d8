"""Everything comes out in open formats; who asks to be forgotten is, and papers stay readable."""

import json
import zipfile
from dataclasses import replace

import pytest

from pitchline.desk.bridge.figures import inputs_text, verdict_of
from pitchline.desk.keeping.all_out import write_all
from pitchline.desk.keeping.backup import write_backup
from pitchline.desk.keeping.erasing import erase_customer, erase_person
from pitchline.desk.machine.actions import About, keep_about
from pitchline.exchange.machine_file import machine_from_json
from pitchline.trade.errors import NotAllowedError


@pytest.fixture
def of_somebody(owner, bring, dossier):
    """A machine of a customer's, walked round by somebody who signs in."""
    rounds = tuple(replace(one, by="owner") for one in dossier.walk_rounds)
    machine = bring(replace(dossier, walk_rounds=rounds), who=owner)
    about = About(machine.name, machine.kind, "Example Earthworks", "", "")
    keep_about(owner, machine_id=machine.pk, seen_version=machine.version, about=about)
    machine.refresh_from_db()
    return machine


def test_everything_comes_out_in_open_formats(of_somebody, tmp_path):
    write_all(tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        told = {
            name.rpartition("/")[2]: archive.read(name).decode("utf-8-sig")
            for name in archive.namelist()
            if name.startswith("Owner")
        }
    assert len(told) == 4
    assert machine_from_json(told["machine.json"], "x").walk_rounds[0].by == "owner"
    assert json.loads(told["verdict.json"])["machine"]["name"] == of_somebody.name
    assert "Example Earthworks" in told["machines.csv"]
    assert "Example Earthworks" in told["changes.csv"]


def test_who_is_forgotten_stands_nowhere_and_papers_stay_readable(of_somebody, tmp_path, owner):
    judgement = of_somebody.judgement
    before = verdict_of(judgement)
    (person, _), (customer, _) = erase_person("owner"), erase_customer("Example Earthworks")
    write_backup(tmp_path / "a.zip")
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        rows = b"".join(archive.read(name) for name in archive.namelist() if name.startswith("rows/"))
    assert b"Example Earthworks" not in rows
    assert b'"owner"' not in rows.replace(b'"role": "owner"', b"")  # which is a right, not a name
    judgement.refresh_from_db()
    assert replace(verdict_of(judgement), walk_rounds=before.walk_rounds) == before
    assert person in inputs_text(judgement)
    assert "owner" not in [one.by for one in machine_from_json(inputs_text(judgement), "x").walk_rounds]
    of_somebody.refresh_from_db()
    assert of_somebody.customer == customer
    with pytest.raises(NotAllowedError):
        erase_customer("Example Earthworks")


def test_who_is_forgotten_signs_in_no_more(owner_client):
    assert owner_client.get("/").status_code == 200
    erase_person("owner")
    assert owner_client.get("/").status_code == 302
