"""Parts that do not belong together: planted ones are found, sound ones are not. Wear goes one way only (common practice)."""

from dataclasses import replace

import pytest

from pitchline.match.odd_parts import OddKind, SizeRead, odd_parts
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

# 25 teeth, pitch 200 mm, bush 60 mm: pitch circle 200 / sin(2 pi / 25) = 804.214 mm, root 744.214 mm, by calliper over
# an odd count 804.214 cos(90 deg / 25) - 60 = 742.628 mm (ASME B29.1M form; computed by hand).
GEAR = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
READ = [162.0, 161.5, 163.0, 162.5, 161.0, 162.0, 163.5, 162.0]


def tread(n, value_mm, since_h=None):
    at = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, n)
    return SizeRead(at, Measurand.TREAD_DIAMETER, value_mm / 1e3, 0.0005, 0.18, 0.025, True, since_h)


def rollers(third_mm=163.0, since_h=None):
    values = [*READ[:2], third_mm, *READ[3:]]
    return [tread(n, value, since_h if n == 3 else None) for n, value in enumerate(values, 1)]


def pitch(side, value_mm):
    at = Place(PartKind.CHAIN, side)
    return SizeRead(at, Measurand.PITCH, value_mm / 1e3, 0.0003, 0.2, 0.006, False, None)


def root(value_mm):
    at = Place(PartKind.SPROCKET, Side.RIGHT)
    return SizeRead(at, Measurand.ROOT_DIAMETER, value_mm / 1e3, 0.001, 0.744, 0.03, True, None)


def odd(sizes, gear=GEAR, findings=()):
    return [(one.kind, [place.key for place in one.places]) for one in odd_parts(gear, sizes, 0.06, findings)]


def test_rollers_that_wear_alike_are_not_odd():
    assert odd(rollers()) == []


@pytest.mark.parametrize(
    ("third_mm", "kind"),
    [(178.0, OddKind.LESS_WORN), (185.0, OddKind.BEYOND_NEW), (130.0, OddKind.MORE_WORN), (155.0, None)],
)
def test_one_roller_among_eight(third_mm, kind):
    assert odd(rollers(third_mm)) == ([] if kind is None else [(kind, ["bottom_roller/left/3"])])


def test_a_roller_whose_renewal_is_recorded_is_not_odd():
    assert odd(rollers(178.0, since_h=4000.0)) == []


def test_all_rollers_larger_than_new_say_the_new_size_is_wrong():
    found = odd_parts(GEAR, [tread(n, 195.0 + n / 10) for n in range(1, 9)], 0.06, ())
    assert [one.said.code for one in found] == ["whose.all_larger_than_new"]
    assert found[0].look.code == "whose.check_new_size"


def test_a_chain_shorter_than_new_is_another_chain_and_a_longer_one_is_worn():
    found = odd_parts(GEAR, [pitch(Side.LEFT, 197.0), pitch(Side.RIGHT, 204.0)], 0.06, ())
    assert [(one.kind, one.said.code) for one in found] == [(OddKind.BEYOND_NEW, "whose.shorter_than_new")]
    assert [place.side for place in found[0].places] == [Side.LEFT]
    assert odd([pitch(Side.LEFT, 199.9), pitch(Side.RIGHT, 206.0)]) == []


@pytest.mark.parametrize(
    ("read_mm", "is_odd"), [(744.2, False), (742.6, False), (700.0, False), (780.0, True), (600.0, True)]
)
def test_a_sprocket_of_another_pitch_shows_at_its_root(read_mm, is_odd):
    kinds = [kind for kind, _ in odd([root(read_mm)])]
    assert (OddKind.SPROCKET in kinds) is is_odd


def test_joints_missing_on_one_side_and_what_was_seen_are_told():
    assert odd([], replace(GEAR, joints_out=(1, 0))) == [(OddKind.JOINTS, ["chain/left", "chain/right"])]
    seen = Finding(Place(PartKind.IDLER, Side.LEFT, 1), FindingKind.ODD_PART, Severity.CLEAR)
    assert odd([], findings=[seen]) == [(OddKind.SEEN, ["idler/left/1"])]
