"""The outlook of many machines at once, asked for some of their parts only."""

from dataclasses import replace

import numpy as np

from pitchline.outlook.fleet import forecast
from pitchline.outlook.learned import weak
from pitchline.outlook.paths import GROUNDS, PartLife, stack


def test_a_part_changed_unseen_on_a_machine_nobody_asks_for_is_no_trouble():
    """Worn to seven tenths, then as good as new: two lives, on a machine of which nothing is asked."""
    step_h = np.zeros((4, GROUNDS))
    step_h[:, 2] = 1000.0
    lives = [
        PartLife(0, 0.01, True, True, step_h, np.array(read), np.full(4, 0.02), np.zeros(GROUNDS))
        for read in ([0.35, 0.70, 0.05, 0.40], [0.2, 0.4, 0.6, 0.8])
    ]
    paths = stack(lives, [0, 1])
    constants = replace(weak(("bush_od",), {}), machines=100)
    ground = np.full(2, 2)
    both = forecast(paths, ground, constants)
    assert both.chance_changed[0] > 0.99
    one = forecast(paths, ground, constants, wanted=np.array([False, True]))
    assert np.isnan(one.hours_left[0]).all()
    np.testing.assert_array_equal(one.hours_left[1], both.hours_left[1])
