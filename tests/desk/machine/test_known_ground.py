"""A machine file's ground fit is reckoned once and read after: the judgement is the same to the last bit."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.demo.yard import build_yard
from pitchline.desk.bridge.figures import judgement_row, verdict_of
from pitchline.desk.machine import known_ground
from pitchline.desk.piece_cache import close_store
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.judge.ground_fit import ground_section
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing, writing
from said import written


@pytest.fixture
def reckoned(settings, tmp_path, monkeypatch):
    """How often a ground fit is reckoned rather than read, on a data folder of this test's own."""
    settings.MADE_HERE, times = tmp_path, []

    def counted(dossier):
        times.append(dossier)
        return ground_section(dossier)

    monkeypatch.setattr(known_ground, "ground_section", counted)
    yield times
    close_store()


def test_ground_of_every_demo_machine_reads_back_the_same(reckoned):
    """Against the section reckoned anew, and all its figures compared as Python compares floats: to the last bit."""
    machines = [one.dossier for one in build_yard().machines]
    for _ in range(2):
        assert [known_ground.known_ground(one) for one in machines] == [ground_section(one) for one in machines]
    assert len(reckoned) == len(machines)


def test_judged_for_another_day_it_is_read_and_nothing_else_moves(reckoned, dossier):
    first = dossier.walk_rounds[-1].date
    for day in (first, first + dt.timedelta(days=1)):
        told = known_ground.judge(dossier, None, day, UnitSystem.METRIC)
        assert verdict_json(told) == verdict_json(judge(dossier, None, day))
    assert len(reckoned) == 1


def test_whatever_it_rests_on_makes_it_another(reckoned, dossier):
    """The machine, its gear, its grounds, and the way figures are written in its sentences."""
    heavier = replace(dossier, machine=replace(dossier.machine, mass_kg=2 * (dossier.machine.mass_kg or 20e3)))
    wider = replace(dossier, gear=replace(dossier.gear, shoe_width_m=dossier.gear.shoe_width_m + 0.1))
    for one in (dossier, heavier, wider):
        assert known_ground.known_ground(one) == ground_section(one)
    with writing(Writing(numbers="comma")):
        assert known_ground.known_ground(dossier) == ground_section(dossier)
    assert len(reckoned) == 4


def test_what_was_just_judged_is_what_would_be_read(dossier):
    """It is drawn without being read back: both must be one."""
    row = judgement_row(judge(dossier), "", "", "metric")
    just = verdict_of(row)
    judgement_row(replace(just, headline=written("Another.")), "", "", "metric")
    assert verdict_of(row) == just
    assert verdict_of(row) is not just
