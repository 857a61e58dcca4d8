"""Text of drawings measured in a real browser: none lies on other text or leaves the paper, with our typeface or the system's."""

import importlib.util
from pathlib import Path

import pytest

from pitchline.trade.units import UnitSystem

KINDS = (2, 3, 4, 6, 8, 10, 11, 14)
"""Rubber, both kinds of pads, raised sprocket, past its limits, loading shovel, wide shoes, drill rig."""
BENCH = Path(__file__).parents[2] / "bench" / "picture_text.py"


@pytest.fixture(scope="module")
def bench():
    """The bench that measures every drawing; here it is given fewer."""
    made = importlib.util.spec_from_file_location("picture_text", BENCH)
    module = importlib.util.module_from_spec(made)
    made.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def verdicts(judged_demo):
    """Every kind of machine and of running gear of the demo yard."""
    return [judged_demo(number) for number in KINDS]


@pytest.mark.parametrize("ours", [True, False], ids=["our typeface", "the system's"])
@pytest.mark.parametrize(("width", "units"), [(360, UnitSystem.IMPERIAL), (1200, UnitSystem.METRIC)])
def test_no_text_lies_on_text_in_a_browser(browser, bench, verdicts, width, units, ours):
    """Sides, both tracks, part sheets and the yard of each kind; all machines, all widths and every record are the bench's."""
    found = bench.drawings(verdicts, (width,), (units,), records=False)
    lines, bad = bench.measured(browser, found, ours)
    assert lines > 1500
    assert bad == []


def test_the_measure_finds_what_is_wrong(browser, bench):
    """Two lines on one another and one that leaves the paper are found: the test above can fail."""
    svg = '<svg width="100" height="40">{}</svg>'
    on = '<text x="5" y="20">one</text><text x="8" y="22">two</text>'
    out = '<text x="90" y="20">far too long</text>'
    lines, bad = bench.measured(browser, [("on", svg.format(on)), ("out", svg.format(out))], False)
    assert lines == 3
    assert [one.split(":")[0] for one in bad] == ["on lie on each other", "out leaves the paper"]
