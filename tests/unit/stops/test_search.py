"""The search finds the optimum at any prices, and its bound holds however early it is cut off."""

import numpy as np
import pytest

from pitchline.stops.priced import network_of, priced_at
from pitchline.stops.search import onward_from
from pitchline.stops.tables import tables_of

NEAR = 1e-6


def test_onward_costs_agree_with_the_relaxed_problem(random_stops):
    """With nothing done at step 0 and on, the rest from the start is the relaxed problem after step 0."""
    network = network_of(tables_of(random_stops(3)))
    priced = priced_at(network, np.full((len(network.free), network.tables.steps), 20.0))
    onward = onward_from(network, priced)
    assert priced.relief[0] < 0
    last = network.tables.steps - 1
    assert onward.stay[:, :, last] == pytest.approx(network.end)
    from_now = np.minimum(
        onward.stay[0, network.start, 0], network.wear[0][0, network.start] + priced.leave[0, network.start]
    )
    assert from_now.sum() + priced.relief.sum() == pytest.approx(priced.bound)
    assert onward.relief[0] == pytest.approx(priced.relief[1:].sum())
