"""Whole walk-rounds that are off: found where a fleet was made with them, hardly ever where it was not.

Source of the expected values: the recipes of bench/fleet_simulator.py, which uses nothing of the package.
"""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.outlook.constants import Constants
from pitchline.outlook.walk_checks import surprises, walk_checks, walk_rounds

GROUND = np.array([-0.70, -0.35, 0.0, 0.40, 0.80])


@pytest.fixture(scope="module")
def known(fleet_simulator):
    """Paths, walk-rounds, true constants and the true rates of parts of known age."""
    fleet = fleet_simulator.simulate(300, 5, whole_machines_unknown=0.0, parts_unknown=0.0)
    paths, _, _ = fleet_simulator.to_paths(fleet)
    one = np.ones(1)
    log_rate = -np.log(np.array(fleet_simulator.LIVES_H))[None]
    constants = Constants(log_rate, GROUND[None], 0.35 * one, 0.22 * one, 0.005 * one, 1e-3 * one)
    rate_log = log_rate[0][paths.kind]
    for _ in range(3):  # a part's own pace by its last reading, which is all a line could say
        grown = np.exp(rate_log)[:, None] * (paths.step_h @ np.exp(GROUND))
        last = np.maximum(paths.count - 1, 0)
        worn, expected = paths.wear[np.arange(last.size), last], np.maximum(grown.sum(axis=1), 1e-9)
        share = 0.1 / (0.1 + expected)
        rate_log = rate_log + np.where(
            paths.count > 0, (1 - share) * np.log(np.clip(worn / expected, 0.3, 3)), 0.0
        )
    return paths, walk_rounds(paths, np.nan_to_num(fleet.parts["fitted_h"])), rate_log, constants


def changed(paths, walk, machine, number, change):
    """The same paths with the readings of one walk-round changed."""
    there = (paths.group[:, None] == machine) & (walk == number)
    return replace(paths, wear=np.where(there, change(paths.wear, paths.wear_u), paths.wear))


def busy(walk, paths):
    """Machines with three walk-rounds or more."""
    most = np.zeros(int(paths.group[-1]) + 1, np.int64)
    np.maximum.at(most, paths.group, walk.max(axis=1))
    return np.flatnonzero(most >= 2)


def test_hardly_any_walk_round_is_suspected_where_all_is_well(known):
    found = walk_checks(*known)
    assert found.machine.size > 400
    assert (found.zero_chance > 0.5).mean() < 0.02
    assert (found.ground_chance > 0.5).mean() < 0.02


def test_a_tool_off_by_four_doubts_is_found(known):
    """Told by size and sign, on most of forty machines tried one at a time."""
    paths, walk, rate_log, constants = known
    found, size = [], []
    for machine in busy(walk, paths)[:40]:
        off = changed(paths, walk, machine, 1, lambda wear, doubt: wear + 4 * doubt)
        checks = walk_checks(off, walk, rate_log, constants)
        here = np.flatnonzero((checks.machine == machine) & (checks.walk_round == 1))
        found.append(bool(here.size) and checks.zero_chance[here[0]] > 0.5)
        size += checks.zero[here].tolist()
    assert np.mean(found) > 0.8
    assert 2.5 < np.median(size) < 4.5


def test_one_part_misread_is_no_walk_round_misread(known):
    paths, walk, rate_log, constants = known
    machine = busy(walk, paths)[0]
    row = np.flatnonzero((paths.group == machine) & (walk[:, 1] == 1))[0]
    wear = paths.wear.copy()
    wear[row, 1] += 1.0
    before = walk_checks(paths, walk, rate_log, constants).of_parts(paths, walk)[:, row]
    after = walk_checks(replace(paths, wear=wear), walk, rate_log, constants).of_parts(paths, walk)[:, row]
    assert (after < 0.5).all()
    assert (before < 0.5).all()


def test_surprises_of_a_single_step_are_plain_differences(known):
    """First readings of parts of known age: reading less rate times effective hours, by hand."""
    paths, _, rate_log, constants = known
    found = surprises(paths, rate_log, constants)
    grown = np.exp(rate_log) * (paths.step_h[:, 0] * np.exp(GROUND)).sum(axis=1)
    read = paths.count > 0
    np.testing.assert_allclose(found.apart[read, 0], (paths.wear[:, 0] - grown)[read], atol=1e-12)
    var = paths.start_u**2 + 0.005 * grown + 1e-6 * grown**2 + paths.wear_u[:, 0] ** 2
    np.testing.assert_allclose(found.var[read, 0], var[read], rtol=1e-12)
