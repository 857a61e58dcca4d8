"""Cautions stand beside the work that needs them. Which hazard belongs where is drawn from the sources named in SOURCES."""

from itertools import product

import pytest

from pitchline.trade.jobs import SOURCES, Caution, JobKind, cautions_of
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind
from pitchline.words.cautions import WHAT_TO_DO
from pitchline.words.names import named

TRACK = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SHOE, PartKind.PAD, PartKind.RUBBER_TRACK)
LOW_DOWN = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER, PartKind.FINAL_DRIVE, PartKind.GUARD)
OFF_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SPROCKET, PartKind.IDLER, PartKind.FINAL_DRIVE)


def gear_of(track, segments=0):
    return RunningGear(track, 45, 0.2, 0.6, 23, SprocketGaps.EACH, 7, 2, sprocket_segments=segments)


GEARS = [gear_of(track) for track in TrackKind]
STEEL, RUBBER = gear_of(TrackKind.STEEL), gear_of(TrackKind.RUBBER)
ALL_WORK = list(product(JobKind, PartKind, GEARS))


def beside(job, part, gear=STEEL):
    return set(cautions_of(job, part, gear))


@pytest.mark.parametrize(("job", "part", "gear"), ALL_WORK)
def test_no_work_stands_without_a_caution_and_none_is_said_twice(job, part, gear):
    found = cautions_of(job, part, gear)
    assert found
    assert len(set(found)) == len(found)
    assert list(found) == sorted(found, key=list(Caution).index)


@pytest.mark.parametrize(("job", "part", "gear"), ALL_WORK)
def test_not_to_work_it_belongs_to_the_call_and_never_to_a_job(job, part, gear):
    """A job called run carried "do not work it" on the slew ring, and the words wore out."""
    assert Caution.UNSAFE_MACHINE not in cautions_of(job, part, gear)


@pytest.mark.parametrize(("job", "part"), list(product(JobKind, PartKind)))
def test_a_rubber_track_has_no_pins_to_press(job, part):
    assert Caution.PRESSED_PINS not in beside(job, part, RUBBER)


@pytest.mark.parametrize("gear", GEARS)
@pytest.mark.parametrize("job", list(JobKind))
@pytest.mark.parametrize("part", TRACK)
def test_work_on_a_track_warns_of_its_moving(job, part, gear):
    assert Caution.MOVING_TRACK in beside(job, part, gear)


@pytest.mark.parametrize("gear", GEARS)
@pytest.mark.parametrize("job", list(JobKind))
def test_work_on_an_adjuster_warns_of_grease_and_spring_first(job, gear):
    assert cautions_of(job, PartKind.TRACK_ADJUSTER, gear)[:2] == (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING)


@pytest.mark.parametrize("gear", GEARS)
@pytest.mark.parametrize("part", [PartKind.CHAIN, PartKind.RUBBER_TRACK])
def test_adjusting_warns_of_grease_pressure_first(part, gear):
    assert cautions_of(JobKind.ADJUST, part, gear)[0] is Caution.GREASE_PRESSURE


@pytest.mark.parametrize("job", list(JobKind))
def test_a_slew_ring_has_its_own_caution(job):
    assert Caution.SLEW_RING in beside(job, PartKind.SLEW_RING)


@pytest.mark.parametrize("part", OFF_CHAIN)
def test_a_chain_that_comes_off_warns_of_pins_raising_tipping_and_mass(part):
    """A side is lifted and its track opened for all of these; the load hangs on the other side."""
    wanted = {Caution.PRESSED_PINS, Caution.RAISED_MACHINE, Caution.ONE_TRACK_OFF, Caution.HEAVY_PARTS}
    assert wanted <= beside(JobKind.REPLACE, part)


def test_turned_bushes_and_a_joint_taken_out_open_the_chain():
    for job, part in ((JobKind.TURN, PartKind.BUSH), (JobKind.REMOVE_JOINT, PartKind.CHAIN)):
        assert {Caution.PRESSED_PINS, Caution.RAISED_MACHINE, Caution.ONE_TRACK_OFF} <= beside(job, part)


def test_tension_is_off_before_a_joining_link_is_touched():
    """The whole track hangs on it; a chain that opens runs off by its own weight."""
    assert {Caution.GREASE_PRESSURE, Caution.HEAVY_PARTS} <= beside(JobKind.REFIT_BOLTS, PartKind.CHAIN)


def test_a_sprocket_in_segments_is_changed_under_the_closed_chain():
    found = beside(JobKind.REPLACE, PartKind.SPROCKET, gear_of(TrackKind.STEEL, segments=5))
    assert Caution.PRESSED_PINS not in found
    assert Caution.RAISED_MACHINE in found


@pytest.mark.parametrize("part", [PartKind.SPROCKET, PartKind.RUBBER_TRACK, PartKind.IDLER, PartKind.FINAL_DRIVE])
def test_a_rubber_tracked_machine_is_lifted_and_its_track_comes_off(part):
    assert {Caution.RAISED_MACHINE, Caution.ONE_TRACK_OFF, Caution.GREASE_PRESSURE} <= beside(
        JobKind.REPLACE, part, RUBBER
    )


@pytest.mark.parametrize("gear", GEARS)
@pytest.mark.parametrize("part", LOW_DOWN)
@pytest.mark.parametrize("job", [JobKind.INVESTIGATE, JobKind.REFIT_BOLTS, JobKind.CLEAN_OUT, JobKind.REPLACE])
def test_what_people_crawl_under_for_warns_of_the_raised_machine(job, part, gear):
    assert Caution.RAISED_MACHINE in beside(job, part, gear)


@pytest.mark.parametrize("job", [JobKind.INVESTIGATE, JobKind.REFIT_BOLTS, JobKind.REPLACE, JobKind.RESHELL])
def test_an_idler_may_be_pushed_by_its_spring(job):
    assert Caution.RECOIL_SPRING in beside(job, PartKind.IDLER)


@pytest.mark.parametrize("part", [PartKind.BOTTOM_ROLLER, PartKind.IDLER, PartKind.FINAL_DRIVE])
def test_what_leaks_and_runs_hot_burns(part):
    assert Caution.HOT_PARTS in beside(JobKind.INVESTIGATE, part)
    assert Caution.HOT_PARTS in beside(JobKind.REPLACE, part)


def test_a_final_drive_has_hydraulic_pressure():
    assert Caution.HYDRAULIC_PRESSURE in beside(JobKind.REPLACE, PartKind.FINAL_DRIVE)
    assert Caution.HYDRAULIC_PRESSURE in beside(JobKind.INVESTIGATE, PartKind.FINAL_DRIVE)
    assert Caution.HYDRAULIC_PRESSURE not in beside(JobKind.REPLACE, PartKind.BOTTOM_ROLLER)


def test_heat_dirt_and_splinters_stand_where_they_come_from():
    """Welding and burning off; jets, and dry brush that burns; hammered bolts."""
    assert Caution.HOT_WORK in beside(JobKind.REBUILD, PartKind.SHOE)
    assert Caution.HOT_WORK in beside(JobKind.RESHELL, PartKind.BOTTOM_ROLLER)
    assert {Caution.HOT_WORK, Caution.FLYING_CHIPS, Caution.CRUSH} <= beside(JobKind.RESHOE, PartKind.SHOE)
    assert {Caution.HOT_WORK, Caution.JETS_AND_DIRT, Caution.CRUSH} <= beside(JobKind.CLEAN_OUT, PartKind.CHAIN)
    assert Caution.FLYING_CHIPS in beside(JobKind.REFIT_BOLTS, PartKind.SPROCKET)
    assert not {Caution.HOT_WORK, Caution.JETS_AND_DIRT} & beside(JobKind.ADJUST, PartKind.CHAIN)


def test_every_caution_has_words_and_a_source_and_is_used():
    assert set(SOURCES) == set(WHAT_TO_DO) == set(Caution)
    assert all((*SOURCES.values(), *WHAT_TO_DO.values(), *map(named, Caution)))
    used = {caution for work in ALL_WORK for caution in cautions_of(*work)}
    assert used == set(Caution) - {Caution.UNSAFE_MACHINE}


def test_no_source_is_the_manual_of_one_machine():
    """TM and TB numbers of the US Army are each the manual of one military machine."""
    assert not [source for source in SOURCES.values() if "TM " in source or "TB " in source]


def test_jobs_have_words_without_underscores():
    assert all("_" not in named(job) for job in JobKind)
