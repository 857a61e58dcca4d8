"""One repeat of several that lies far off: what was meant by it, where one slip of the hand explains it."""

import pytest

from pitchline.wear.plausibility import suspicions


@pytest.mark.parametrize(
    ("texts", "repeat", "meant_mm"),
    [
        (("107.1", "107.3", "17.2"), 3, 107.2),  # a digit left out
        (("777", "7765", "776"), 2, 776.5),  # a decimal mark left out
        (("107.1", "10.72", "107.3"), 2, 107.2),  # a decimal mark one place off
        (("170.2", "107.1", "107.3"), 1, 107.2),  # two digits swapped
        (("107.1", "1107.2", "107.3"), 2, 107.2),  # a digit too many
        (("107.1", "407.2", "107.3"), 2, 107.2),  # a wrong digit
        (("107.1", "107.3", "172 mm"), 3, None),  # two slips at once: nobody knows
        (("107.1", "62.9"), 0, None),  # of two, nobody knows which
    ],
)
def test_the_repeat_that_is_a_slip(dossier, visit, read, texts, repeat, meant_mm):
    (found,) = suspicions(dossier, visit(read("link", "rail_height", *texts, tool="depth_gauge")))
    assert found.held
    if meant_mm is None:
        assert (found.repeat, found.repeat_m) == (0, None)
    else:
        assert found.repeat == repeat
        assert found.repeat_m == pytest.approx(meant_mm / 1000)


def test_inches_are_mended_in_inches(dossier, visit, read):
    typed = ("4.22", "4.23", "422")
    (found,) = suspicions(dossier, visit(read("link", "rail_height", *typed, tool="depth_gauge", unit="in")))
    assert found.suspects.endswith("did you mean 4.22 in?")
