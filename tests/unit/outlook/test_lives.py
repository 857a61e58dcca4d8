"""Which readings belong to which part's life."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.outlook.lives import ground_hours, lives_of
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

LEFT = Side.LEFT
RAIL = (Place(PartKind.LINK, LEFT), Measurand.RAIL_HEIGHT)
BUSH = (Place(PartKind.BUSH, LEFT), Measurand.BUSH_OD_FORWARD)


def lives_at(dossier, where, now_h=3600.0):
    return [life for life in lives_of(dossier, now_h).lives if (life.place, life.measurand) == where]


def test_hours_without_a_span_count_as_usual_ground(dossier):
    spanned = replace(
        dossier, ground_spans=(GroundSpan(500.0, 800.0, GroundClass.HARSH),), usual_ground=GroundClass.MILD
    )
    hours = ground_hours(spanned, 400.0, 1000.0)
    assert (hours[GroundClass.HARSH], hours[GroundClass.MILD], hours.sum()) == (300.0, 300.0, 600.0)


def test_a_new_chain_ends_the_life_of_links_bushes_and_pitch(later):
    chain = PartEvent(Place(PartKind.CHAIN, LEFT), Event.FITTED_NEW, 3200.0)
    machine = later(0.05)
    machine = replace(machine, events=(*machine.events, chain))
    for where in (RAIL, BUSH, (Place(PartKind.CHAIN, LEFT), Measurand.PITCH)):
        old, new = lives_at(machine, where)
        assert (len(old.traces), old.ended_h, len(new.traces), new.ended_h) == (2, 3200.0, 1, None)
        assert new.path.step_h.sum() == pytest.approx(400.0)


def test_new_shoes_leave_the_chain_alone(dossier):
    shoes = PartEvent(Place(PartKind.SHOE, LEFT), Event.FITTED_NEW, 2500.0)
    machine = replace(dossier, events=(*dossier.events, shoes))
    assert len(lives_at(machine, RAIL)) == 1
    assert len(lives_at(machine, (Place(PartKind.SHOE, LEFT), Measurand.GROUSER_HEIGHT))) == 2


def test_a_reading_at_the_hour_of_a_change_is_of_the_part_taken_off(dossier):
    chain = PartEvent(Place(PartKind.CHAIN, LEFT), Event.FITTED_NEW, 3000.0)
    old, new = lives_at(replace(dossier, events=(*dossier.events, chain)), RAIL)
    assert (len(old.traces), len(new.traces)) == (2, 0)


def test_without_history_the_start_is_unknown_and_the_meter_bounds_it(dossier):
    bare = replace(dossier, events=())
    (life,) = lives_at(bare, RAIL)
    assert (life.path.start_known, life.path.meter_known, life.started) == (False, True, None)
    assert life.path.step_h[0].sum() == 2200.0
    (unsure,) = lives_at(replace(bare, meter_from_new=False), RAIL)
    assert unsure.path.meter_known is False


def test_part_worn_says_nothing_of_the_rate_at_first(dossier):
    used = PartEvent(Place(PartKind.CHAIN, LEFT), Event.FITTED_PART_WORN, 2000.0)
    *_, life = lives_at(replace(dossier, events=(*dossier.events, used)), RAIL)
    assert (life.path.start_known, life.path.meter_known) == (False, False)


def test_after_a_turn_the_worn_face_is_left_out_until_it_is_read(dossier, steel_limits):
    limits = (*steel_limits, replace(steel_limits[1], measurand=Measurand.BUSH_OD_REVERSE))
    turned = PartEvent(BUSH[0], Event.TURNED, 3000.0)
    machine = replace(dossier, limits=limits, events=(*dossier.events, turned))
    assert not any(life.now_fitted for life in lives_at(machine, (BUSH[0], Measurand.BUSH_OD_REVERSE)))
    assert lives_at(machine, BUSH)[-1].turned


def test_held_readings_stay_out(dossier):
    first = dossier.walk_rounds[0]
    rail = next(r for r in first.readings if (r.place, r.measurand) == RAIL)
    lives = lives_of(dossier, 3000.0, frozenset({(first.date, rail)})).lives
    (life,) = [life for life in lives if (life.place, life.measurand) == RAIL]
    assert [trace.service_h for trace in life.traces] == [3000.0]
    assert life.path.step_h[0].sum() == 2000.0


def test_life_used_and_doubt_come_from_the_wear_line(dossier):
    (life,) = lives_at(dossier, RAIL)
    assert life.path.wear == pytest.approx([0.20, 0.33], abs=1e-9)
    expected = [trace.doubt.u_m / 0.010 for trace in life.traces]
    assert life.path.wear_u == pytest.approx(expected, rel=1e-9)
    assert np.isfinite(life.path.step_h).all()
