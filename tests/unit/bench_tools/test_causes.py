"""What is told of causes is as often true as it says, on machines with causes planted (bench/causes.py has the whole run)."""

import pytest

from pitchline.cause.nets import RUBBER, STEEL


@pytest.mark.parametrize(
    ("net", "sd"), [(STEEL, 0.0), (STEEL, 0.7), (RUBBER, 0.0)], ids=["steel", "wrong", "rubber"]
)
def test_a_chance_is_as_often_true_as_it_says(causes_bench, net, sd):
    """By tenths that came up often enough to tell, within 4 points and three times what chance alone brings."""
    found = causes_bench.run(net, sd, 150, seed=3, looks=9)
    for n, said, true in found["bins"].values():
        assert true == pytest.approx(said, abs=0.04 + 3 * (said * (1 - said) / n) ** 0.5)
    # A rubber track has few signs, so three of them at chance are most of them: on 150 machines the two are a draw.
    assert found["advice"] >= found["chance"] - (3 if net is RUBBER else 0)
