"""A sound reading with one slip of hand planted is caught, and what is offered is what was meant."""

import datetime as dt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import parse_length
from pitchline.wear.plausibility import suspicions

RAIL = Place(PartKind.LINK, Side.LEFT)
CHAIN = Place(PartKind.CHAIN, Side.LEFT)
SOUND = st.floats(0.03, 0.97)


def gear(pitch_m=0.187):
    return RunningGear(TrackKind.STEEL, 47, pitch_m, 0.57, 25, SprocketGaps.EVERY_SECOND, 8, 2)


def dossier(*limits, pitch_m=0.187, walk_rounds=()):
    machine = Machine("invented", "Invented", MachineKind.DOZER, note="invented")
    return Dossier(machine, gear(pitch_m), limits=limits, walk_rounds=walk_rounds)


def typed(place, measurand, text, unit="mm", joints=1):
    quantity = parse_length(text, unit)
    return Reading(place, measurand, (quantity.si,), DEFAULT_TOOLS["calliper"], joints, (quantity,))


def visit(reading, day=200):
    return WalkRound(dt.date(2026, 1, 1) + dt.timedelta(days=day), 10.0 * day, (reading,))


@st.composite
def rails(draw):
    """A rail's new size and limit, and a sound reading of it in millimetres to the tenth."""
    new_m = draw(st.floats(0.05, 0.2))
    limit = Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m, new_m * draw(st.floats(0.75, 0.92)))
    return limit, f"{1e3 * (new_m + draw(SOUND) * (limit.limit_m - new_m)):.1f}"


@given(rails())
def test_a_sound_reading_raises_nothing(rail):
    limit, text = rail
    assert suspicions(dossier(limit), visit(typed(RAIL, Measurand.RAIL_HEIGHT, text))) == ()


@given(rails(), st.sampled_from([10.0, 100.0, 0.1, 0.01]))
def test_a_slipped_decimal_mark_is_put_back(rail, factor):
    limit, text = rail
    meant_m = float(text) / 1e3
    slipped = f"{float(text) * factor:.6f}".rstrip("0").rstrip(".")
    assume(not slipped.endswith("000") or "." in slipped)
    (found,) = suspicions(dossier(limit), visit(typed(RAIL, Measurand.RAIL_HEIGHT, slipped)))
    assert found.held
    assert found.instead_m == pytest.approx(meant_m, rel=1e-6)


@given(rails())
def test_inches_written_in_a_millimetre_column_are_read_as_inches(rail):
    limit, text = rail
    inches = f"{float(text) / 25.4:.3f}".rstrip("0").rstrip(".")
    (found,) = suspicions(dossier(limit), visit(typed(RAIL, Measurand.RAIL_HEIGHT, inches)))
    assert found.held
    assert found.instead_m == pytest.approx(float(text) / 1e3, abs=0.0000127 + 1e-9)


@given(rails())
def test_millimetres_written_in_an_inch_column_are_read_as_millimetres(rail):
    limit, text = rail
    (found,) = suspicions(dossier(limit), visit(typed(RAIL, Measurand.RAIL_HEIGHT, text, unit="in")))
    assert found.held
    assert found.instead_m == pytest.approx(float(text) / 1e3)


@given(rails(), st.data())
def test_swapped_digits_are_swapped_back_when_the_last_reading_is_close(rail, data):
    limit, text = rail
    places = [index for index, letter in enumerate(text) if letter.isdigit()]
    at = data.draw(st.integers(0, len(places) - 2))
    letters = list(text)
    one, two = places[at], places[at + 1]
    letters[one], letters[two] = letters[two], letters[one]
    swapped = "".join(letters)
    earlier = visit(typed(RAIL, Measurand.RAIL_HEIGHT, text), day=1)
    found = suspicions(dossier(limit, walk_rounds=(earlier,)), visit(typed(RAIL, Measurand.RAIL_HEIGHT, swapped)))
    held = [one for one in found if one.held]
    assume(held)
    assert held[0].instead_m == pytest.approx(float(text) / 1e3)


@given(st.floats(0.1, 0.3), st.floats(1.01, 1.05), SOUND, st.integers(1, 8), st.integers(1, 8))
def test_a_wrong_joint_count_is_put_right(new_m, stretch, life, joints, counted):
    assume(joints != counted)
    limit = Limit(PartKind.CHAIN, Measurand.PITCH, new_m, new_m * stretch)
    text = f"{1e3 * joints * (new_m + life * (limit.limit_m - new_m)):.1f}"
    assume(not text.endswith("000.0"))
    reading = typed(CHAIN, Measurand.PITCH, text, joints=counted)
    (found,) = suspicions(dossier(limit, pitch_m=new_m), visit(reading))
    assert found.held
    assert found.instead_m / found.instead_joints == pytest.approx(float(text) / 1e3 / joints)
    if joints > 1:
        assert found.instead_joints == joints


@given(st.floats(0.1, 0.3), SOUND, st.integers(2, 8))
def test_a_length_left_per_joint_is_put_right_without_any_limit(new_m, life, joints):
    """Only the running gear's pitch is known."""
    per_joint_mm = 1e3 * new_m * (1 + 0.03 * life)
    reading = typed(CHAIN, Measurand.PITCH, f"{per_joint_mm:.1f}", joints=joints)
    (found,) = suspicions(dossier(pitch_m=new_m), visit(reading))
    assert (found.held, found.instead_joints) == (True, joints)
    assert found.instead_m / joints == pytest.approx(per_joint_mm / 1e3, abs=0.00006)


@given(rails(), st.sampled_from(["0.31", "6", "999", "12.5"]), st.text("abc ", min_size=1, max_size=12))
def test_a_reason_keeps_a_reading_in(rail, text, reason):
    limit, _ = rail
    doubted = typed(RAIL, Measurand.RAIL_HEIGHT, text)
    kept = Reading(RAIL, Measurand.RAIL_HEIGHT, doubted.repeats_m, doubted.tool, 1, doubted.typed, f"x{reason}")
    assert all(not one.held for one in suspicions(dossier(limit), visit(kept)))
    assert any(one.held for one in suspicions(dossier(limit), visit(doubted)))
