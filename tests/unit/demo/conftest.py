"""The demo yard, built once."""

import pytest

from pitchline.demo.yard import Yard, build_yard


@pytest.fixture(scope="session")
def yard() -> Yard:
    return build_yard()
