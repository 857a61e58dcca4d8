"""Cautions stand beside the work that needs them. Which hazard belongs where is drawn from the sources named in CAUTIONS."""

from itertools import product

import pytest

from pitchline.trade.jobs import CAUTIONS, Caution, JobKind, cautions_of
from pitchline.trade.parts import PartKind

TRACK = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SHOE, PartKind.PAD, PartKind.RUBBER_TRACK)
ALL_WORK = list(product(JobKind, PartKind))


@pytest.mark.parametrize(("job", "part"), ALL_WORK, ids=lambda word: word.value)
def test_no_work_stands_without_a_caution_and_none_is_said_twice(job, part):
    found = cautions_of(job, part)
    assert found
    assert len(set(found)) == len(found)


@pytest.mark.parametrize("part", TRACK)
@pytest.mark.parametrize("job", list(JobKind))
def test_work_on_a_track_warns_of_its_moving(job, part):
    assert Caution.MOVING_TRACK in cautions_of(job, part)


@pytest.mark.parametrize("job", [job for job in JobKind if job is not JobKind.ADJUST])
def test_work_on_an_adjuster_warns_of_grease_and_spring_first(job):
    assert cautions_of(job, PartKind.TRACK_ADJUSTER)[:2] == (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING)


def test_adjusting_warns_of_grease_pressure_first():
    assert cautions_of(JobKind.ADJUST, PartKind.CHAIN)[0] is Caution.GREASE_PRESSURE


@pytest.mark.parametrize("job", list(JobKind))
def test_a_slew_ring_has_its_own_caution(job):
    assert Caution.SLEW_RING in cautions_of(job, PartKind.SLEW_RING)


@pytest.mark.parametrize("part", [PartKind.CHAIN, PartKind.BUSH, PartKind.LINK])
@pytest.mark.parametrize("job", [JobKind.TURN, JobKind.REPLACE, JobKind.REMOVE_JOINT])
def test_opening_a_chain_warns_of_pressed_pins(job, part):
    assert Caution.PRESSED_PINS in cautions_of(job, part)


@pytest.mark.parametrize(
    "part", [PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER, PartKind.FINAL_DRIVE]
)
def test_replacing_what_carries_the_machine_warns_of_lifting(part):
    assert {Caution.RAISED_MACHINE, Caution.HEAVY_PARTS} <= set(cautions_of(JobKind.REPLACE, part))


def test_every_caution_has_words_and_a_source_and_is_used():
    assert set(CAUTIONS) == set(Caution)
    for words in CAUTIONS.values():
        assert words.title
        assert words.text
        assert words.source
    assert {caution for work in ALL_WORK for caution in cautions_of(*work)} == set(Caution)


def test_jobs_have_words_without_underscores():
    assert all("_" not in job.label for job in JobKind)
