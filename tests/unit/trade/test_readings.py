import datetime as dt
import math

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.units import parse_length
from pitchline.words import translated
from pitchline.words.how_read import how_read

CHAIN, LINK = Place(PartKind.CHAIN, Side.LEFT), Place(PartKind.LINK, Side.LEFT)
TAPE = DEFAULT_TOOLS["tape"]


def rail(*repeats_m, **rest):
    return Reading(LINK, Measurand.RAIL_HEIGHT, repeats_m, TAPE, **rest)


def test_the_value_is_the_mean_of_the_repeats():
    assert rail(0.100, 0.101, 0.102).value_m == pytest.approx(0.101)


def test_a_pitch_is_divided_by_its_joints():
    reading = Reading(CHAIN, Measurand.PITCH, (0.764, 0.766), TAPE, joints=4)
    assert reading.value_m == pytest.approx(0.765 / 4)


def test_a_reading_shows_what_was_typed():
    typed = (parse_length("30 1/8 in"), parse_length("766"))
    reading = Reading(CHAIN, Measurand.PITCH, tuple(one.si for one in typed), TAPE, 4, typed)
    assert reading.words == "30 1/8 in, 766 mm over 4 joints"
    assert rail(0.1004).words == "100.4 mm"


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Reading(CHAIN, Measurand.RAIL_HEIGHT, (0.1,), TAPE), "link rail height"),
        (lambda: rail(), "link rail height"),
        (lambda: rail(math.nan), "link rail height"),
        (lambda: rail(math.inf), "link rail height"),
        (lambda: rail(-0.1), "link rail height"),
        (lambda: rail(0.1, joints=0), "over joints"),
        (lambda: rail(0.1, joints=4), "over joints"),
        (lambda: rail(0.1, extra_u_m=-1e-3), "extra doubt"),
        (lambda: rail(0.1, extra_u_m=math.nan), "extra doubt"),
        (lambda: Tool("rule", "rule", -1e-3, 0.0, 0.0), "tool rule, resolution_m"),
        (lambda: Tool("rule", "rule", 0.0, math.inf, 0.0), "tool rule, permitted_error_m"),
        (lambda: WalkRound(dt.date(2026, 1, 1), -1.0), "service hours"),
        (lambda: WalkRound(dt.date(2026, 1, 1), math.nan), "service hours"),
    ],
)
def test_what_cannot_be_is_refused_by_name(make, field):
    with pytest.raises(NotAllowedError) as caught:
        make()
    assert translated(caught.value.problem.field) == field


def test_a_reading_on_the_wrong_part_is_told_the_right_one():
    with pytest.raises(NotAllowedError) as caught:
        Reading(CHAIN, Measurand.RAIL_HEIGHT, (0.1,), TAPE)
    assert translated(caught.value.problem.allowed) == "read on link rail"


def test_every_measurand_is_described():
    assert set(MEASURANDS) == set(Measurand)
    for measurand, facts in MEASURANDS.items():
        assert how_read(measurand)
        assert facts.parts
        assert 0 <= facts.least_m < facts.most_m


def test_measurands_of_a_part_and_parts_of_a_measurand_agree():
    for part in PartKind:
        assert all(part in MEASURANDS[measurand].parts for measurand in measurands_of(part))
    assert measurands_of(PartKind.GUARD) == ()


def test_only_sag_and_adjuster_are_settings():
    settings = {measurand for measurand, words in MEASURANDS.items() if words.role is Role.SETTING}
    assert settings == {Measurand.SAG, Measurand.ADJUSTER_EXTENSION}


def test_every_part_has_words():
    assert set(PARTS) == set(PartKind)


def test_default_tools_are_found_by_their_own_names():
    assert all(tool.name == name for name, tool in DEFAULT_TOOLS.items())
