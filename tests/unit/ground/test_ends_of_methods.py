"""Outside its range each method gives no number and says why."""

import math

import pytest

from pitchline.ground.checked import checked
from pitchline.ground.cone_index import rating_index
from pitchline.ground.pressure import contact_pressure_pa
from pitchline.ground.slope import tipping_deg
from pitchline.ground.thrust import most_thrust_n
from pitchline.trade.errors import NotAllowedError


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
