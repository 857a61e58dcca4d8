import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.wear.abrasiveness import equivalent_quartz, quartz_factor, rock_abrasivity_index


def test_quartz_is_1_and_talc_is_0():
    assert (quartz_factor(7), quartz_factor(1)) == (1.0, 0.0)


def test_between_half_steps_the_factor_lies_between():
    assert quartz_factor(6.25) == pytest.approx((0.31 + 0.55) / 2)


@pytest.mark.parametrize("mohs", [0.9, 7.5])
def test_minerals_outside_the_table_are_refused(mohs):
    with pytest.raises(NotAllowedError, match="Mohs"):
        quartz_factor(mohs)


@pytest.mark.parametrize("minerals", [[(0.5, 7), (0.4, 6)], [(1.2, 7), (-0.2, 6)]])
def test_shares_must_make_up_the_whole(minerals):
    with pytest.raises(NotAllowedError, match="share"):
        equivalent_quartz(minerals)


def test_strength_times_quartz_in_megapascals():
    """Definition, Plinninger 2010: 150 MPa with 40 % equivalent quartz is 60."""
    assert rock_abrasivity_index(150e6, 0.4) == pytest.approx(60)
    with pytest.raises(NotAllowedError):
        rock_abrasivity_index(150e6, 40)
