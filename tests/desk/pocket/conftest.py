"""A phone that brings records, at a desk with one invented machine."""

import pytest

from pocket_of import Pocket


@pytest.fixture
def pocket(client, db):
    """A phone's pocket, at a desk where nobody signs in."""
    return Pocket(client)
