"""Readings are what a person with that tool would type."""

import numpy as np
import pytest

from pitchline.demo.sheets import JOINTS_SPANNED, TOOL_OF, Hand, Reader, typed_text
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.units import parse_length

CHAIN = Place(PartKind.CHAIN, Side.LEFT)
BUSH = Place(PartKind.BUSH, Side.LEFT)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("mark", [".", ","])
@pytest.mark.parametrize("name", sorted(set(TOOL_OF.values())))
def test_every_text_is_read_back_within_half_a_step(name: str, unit: str, mark: str) -> None:
    """A step in inches is a thousandth or a thirty-second; both from how such tools are divided, common practice, no source."""
    tool = DEFAULT_TOOLS[name]
    thirty_second_m = 25.4e-3 / 32
    step_m = tool.resolution_m if unit == "mm" else 25.4e-6 if tool.resolution_m < 0.0004 else thirty_second_m
    for length_m in np.linspace(0.0, 0.9, 1801):
        typed = parse_length(typed_text(float(length_m), tool, unit, mark), unit)
        assert typed.si == pytest.approx(length_m, abs=step_m / 2 + 1e-9), typed


def test_no_text_can_be_taken_for_a_thousand() -> None:
    assert typed_text(0.0254, DEFAULT_TOOLS["calliper"], "in", ".") == "1.00"


def test_a_tape_is_read_in_halves_and_a_dial_in_hundredths() -> None:
    assert typed_text(0.77038, DEFAULT_TOOLS["tape"], "mm", ".") == "770.5"
    assert typed_text(0.000837, DEFAULT_TOOLS["dial_gauge"], "mm", ",") == "0,84"
    assert typed_text(0.8215, DEFAULT_TOOLS["tape"], "in", ".") == "32 11/32"


def test_a_pitch_is_read_over_several_joints() -> None:
    reader = Reader(np.random.default_rng(1), Hand(repeats={Measurand.PITCH: 3}), DEFAULT_TOOLS.__getitem__)
    reading = reader.read(CHAIN, Measurand.PITCH, 0.192)
    assert reading.joints == JOINTS_SPANNED
    assert len(reading.repeats_m) == len(reading.typed) == 3
    assert reading.value_m == pytest.approx(0.192, abs=0.001)


def test_the_slip_spans_one_joint_fewer_than_it_says() -> None:
    reader = Reader(np.random.default_rng(1), Hand(), DEFAULT_TOOLS.__getitem__)
    reading = reader.read(CHAIN, Measurand.PITCH, 0.192, joints_typed=4)
    assert reading.joints == 4
    assert reading.repeats_m[0] == pytest.approx(3 * 0.192, abs=0.004)


def test_errors_of_reading_have_the_size_of_the_tool() -> None:
    """Rectangular limit and rounding step (half-width over the root of 3, JCGM 100:2008 4.3.7), and repeatability, together."""
    rng, tool = np.random.default_rng(5), DEFAULT_TOOLS["calliper"]
    errors = [
        Reader(rng, Hand(), DEFAULT_TOOLS.__getitem__).read(BUSH, Measurand.BUSH_OD_FORWARD, 0.06).value_m - 0.06
        for _ in range(2000)
    ]
    expected = np.sqrt(tool.repeatability_m**2 + tool.permitted_error_m**2 / 3 + tool.resolution_m**2 / 12)
    assert np.std(errors) == pytest.approx(expected, rel=0.1)
    assert abs(np.mean(errors)) < 4 * expected / np.sqrt(2000)
