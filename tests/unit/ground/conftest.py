"""Machines on their tracks."""

import pytest

from pitchline.ground.standing import standing
from pitchline.trade.machine import Machine, MachineKind


@pytest.fixture(scope="module")
def stands(steel_gear):
    """An invented machine of 20 t on that running gear."""
    return standing(Machine("x", "x", MachineKind.EXCAVATOR, 20_000.0), steel_gear)
