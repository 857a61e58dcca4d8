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
    # Nine signs of sixteen leave a rubber track six or seven looks, of which three at chance are half.
    assert found["advice"] >= found["chance"]


def test_a_course_of_looks_finds_the_planted_cause_where_there_is_something_to_choose(causes_bench):
    """Rubber, five signs of sixteen first: in ten of a hundred machines more than three looks at chance."""
    found = causes_bench.run(RUBBER, 0.0, 500, seed=17, looks=5)
    assert found["asked"] > 300
    assert found["advice"] - found["chance"] >= 0.1 * found["asked"]
