"""Outside its range each method gives no number and says why."""

import math

import numpy as np
import pytest

from pitchline.ground.bearing import drained_pa, drained_slanted_pa, undrained_pa, vesic_pa
from pitchline.ground.checked import checked
from pitchline.ground.cone_index import (
    index_for_fifty_passes,
    index_for_one_pass,
    rating_index,
    surplus_resistance,
)
from pitchline.ground.eccentric import equal_footing_m, rectangle_corners_pa, section_corners_pa, strip_pressure
from pitchline.ground.pressure import contact_pressure_pa
from pitchline.ground.sinkage import sinkage_m
from pitchline.ground.slope import Hold, sliding_deg, steepest_deg, tipping_deg
from pitchline.ground.snow import Winter, rut_m, traction_pa
from pitchline.ground.thrust import most_thrust_n, share_at_slip
from pitchline.ground.turning import turning_at_radius
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize(
    "found",
    [
        index_for_one_pass(-0.1),
        index_for_fifty_passes(-0.1),
        surplus_resistance(-0.1),
        sinkage_m(60e3, 100e3, 0.5, clearance_m=0.3),
        sinkage_m(60e3, 100e3, 0.5, shoe_width_m=0.3),
        share_at_slip(0.0, 3.0, 0.02),
        share_at_slip(1.1, 3.0, 0.02),
        steepest_deg(Hold(*map(np.asarray, (0.0, -0.01, 0.0, 1.0, 0.0, 1.0)))),
        steepest_deg(Hold(*map(np.asarray, (1.01, 0.2, 0.1, 2.0, 0.0, 1.0)))),
        traction_pa(250e3, Winter.ICE),
        rut_m(0.2, 500.0),
        turning_at_radius(0.8, 0.9, 2.0),
        tipping_deg(-0.1, 1.0),
        sliding_deg(10e3, 3.0, 5e3, 20.0),
        strip_pressure(100e3, 0.5, 3.0, 1.5).most,
        strip_pressure(-1.0, 0.5, 3.0, 0.0).most,
        equal_footing_m(3.0, 1.5),
        undrained_pa(20e3, 0.5, 3.0, 0.0, 21e3),
        drained_pa(0.0, 46.0, 18e3, 0.5, 3.0),
        drained_slanted_pa(0.0, 30.0, 18e3, 0.5, 3.0, 0.0, 10e3, 9e3, 9e3),
        vesic_pa(0.0, 30.0, 18e3, 0.5, 3.0, 0.0, 0.6),
    ],
    ids=lambda found: found.reasons[0],
)
def test_no_number_outside_and_a_reason(found):
    assert found.one is None
    assert found.reasons


def test_corners_outside_the_kern_have_no_number():
    assert np.isnan(rectangle_corners_pa(100e3, 2.0, 4.0, 0.2, 0.4).figure).all()
    assert np.isnan(section_corners_pa(400e3, 0.7, 4.0, 2.8, 500e3, 120e3).figure).all()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: contact_pressure_pa(0.0, 0.6, 3.0),
        lambda: contact_pressure_pa(1e4, math.inf, 3.0),
        lambda: rating_index(-1.0, 0.8),
        lambda: most_thrust_n(1e5, 0.6, 3.0, 1e3, 51.0),
        lambda: most_thrust_n(1e5, 0.6, 3.0, -1e3, 30.0),
        lambda: tipping_deg(1.0, 0.0),
    ],
)
def test_impossible_sizes_are_refused(wrong):
    with pytest.raises(NotAllowedError):
        wrong()


def test_unknown_stays_unknown():
    assert math.isnan(float(contact_pressure_pa(math.nan, 0.6, 3.0)))
    assert checked(math.nan).one is None
