"""A yard of 32 invented machines, entered and not judged."""

import pytest

from pitchline.desk.yard.importing import SentFiles, bring_in
from pitchline.exchange.machine_file import machine_json
from worn_yard import made_up


@pytest.fixture(scope="session")
def fleet():
    return made_up(32)


@pytest.fixture
def yard(actor, fleet):
    """The machines, entered and not judged."""
    bring_in(actor, SentFiles(machines=[(machine_json(one), one) for one in fleet]))
    return fleet
