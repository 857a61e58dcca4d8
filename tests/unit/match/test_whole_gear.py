"""Which running gear of a list it is: a made-up list of 300, read worn, with miscounts and a part from elsewhere."""

import math
from dataclasses import replace

import numpy as np
import pytest

from pitchline.match.from_machine import parts_of_gear, read_of_gear
from pitchline.match.ranking import PartReading
from pitchline.match.whole_gear import ListedGear, match_gear
from pitchline.trade.dossier import Limit
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading

P, M, S = PartKind, Measurand, PartSize
SHARES = {
    (P.BUSH, M.BUSH_OD_FORWARD): (0.32, -0.05), (P.LINK, M.RAIL_HEIGHT): (0.55, -0.06), (P.CHAIN, M.PITCH): (1.0, 0.02),
    (P.BOTTOM_ROLLER, M.TREAD_DIAMETER): (0.95, -0.09), (P.SHOE, M.GROUSER_HEIGHT): (0.13, -0.07),
}  # fmt: skip
"""New sizes and wear allowances as shares of the pitch: invented."""
U_M = 0.0005


def listed(rng, name):
    """A running gear as somebody may have entered it, every figure invented."""
    pitch_m = float(rng.uniform(0.1, 0.26))
    gear = RunningGear(
        TrackKind.STEEL, int(rng.integers(36, 54)), round(pitch_m, 4), float(rng.choice((0.5, 0.6, 0.7, 0.8))),
        int(rng.integers(19, 28)), SprocketGaps.EACH, int(rng.integers(5, 10)), int(rng.integers(1, 4)),
    )  # fmt: skip
    limits = []
    for (part, measurand), (share, allowance) in SHARES.items():
        new_m = pitch_m if measurand is M.PITCH else share * pitch_m * float(rng.uniform(0.9, 1.1))
        limits.append(Limit(part, measurand, new_m, new_m + allowance * pitch_m))
    return ListedGear(name, gear, parts_of_gear(name, gear, limits)), limits


@pytest.fixture(scope="module")
def book():
    rng = np.random.default_rng(16)
    return [listed(rng, f"gear {n}") for n in range(300)]


def reading(part, measurand, value_m):
    place = Place(part, Side.LEFT, 1 if part is P.BOTTOM_ROLLER else 0)
    return Reading(place, measurand, (value_m,), DEFAULT_TOOLS["calliper"])


def worn(limits, rng, left_out=()):
    """Readings of a machine in use, with the doubt of the tool."""
    readings = []
    for one in limits:
        if one.measurand in left_out:
            continue
        size_m = one.new_m + float(rng.uniform(0, 1.1)) * (one.limit_m - one.new_m) + float(rng.normal(0, U_M))
        readings.append(reading(one.part, one.measurand, size_m))
    return readings


def test_the_right_one_is_first_though_one_part_is_from_elsewhere(book):
    """200 machines; on every second one the rollers came from another running gear, on every fifth a count is one off."""
    rng = np.random.default_rng(7)
    gears = [one for one, _ in book]
    first, among, fits_wrong = 0, 0, 0
    for n in range(200):
        at = int(rng.integers(len(book)))
        gear, limits = book[at][0].gear, list(book[at][1])
        if n % 2:
            other = book[int(rng.integers(len(book)))][1]
            limits = [two if two.part is P.BOTTOM_ROLLER else one for one, two in zip(limits, other, strict=True)]
        if n % 5 == 0:
            gear = replace(gear, joints_per_side=gear.joints_per_side + 1)
        readings = worn(limits, rng)
        found = match_gear(gears, read_of_gear(gear, readings, [U_M] * len(readings)), gear, most=3)
        first += found.ranked[0].at == at
        among += at in [one.at for one in found.ranked]
        fits_wrong += found.fits and found.ranked[0].at != at
    assert (first, among) >= (190, 199)
    assert fits_wrong == 0


def test_chances_are_those_of_somebody_elses_sum():
    """Told apart by a size that does not wear and one that does: by the normal law and by numerical integration."""
    a, b = (
        ListedGear(name, gear, parts_of_gear(name, gear, [Limit(P.BUSH, M.BUSH_OD_FORWARD, bush, bush - 0.008)]))
        for name, gear, bush in (
            ("a", RunningGear(TrackKind.STEEL, 45, 0.19, 0.600, 23, SprocketGaps.EACH, 7, 2), 0.060),
            ("b", RunningGear(TrackKind.STEEL, 45, 0.19, 0.604, 23, SprocketGaps.EACH, 7, 2), 0.058),
        )
    )
    read = {
        (P.SHOE, S.WIDTH): PartReading(S.WIDTH, 0.601, 0.001),
        (P.CHAIN, S.BUSH_DIAMETER): PartReading(S.BUSH_DIAMETER, 0.0555, 0.0004),
    }
    found = match_gear([a, b], read)

    def normal(x, s):
        return math.exp(-0.5 * (x / s) ** 2) / (s * math.sqrt(2 * math.pi))

    s_width, s_bush = math.hypot(0.001, 0.0003), math.hypot(0.0004, 0.0003)
    worn_m = np.linspace(0, 1.2 * 0.008, 20_001)
    weights = []
    for width, bush in ((0.600, 0.060), (0.604, 0.058)):
        like_bush = np.trapezoid([normal(0.0555 - bush + w, s_bush) for w in worn_m], worn_m) / worn_m[-1]
        none_width, none_bush = 1 / (1.5 - 0.02), 1 / (0.15 - 0.02)
        weights.append(
            (0.95 * normal(0.601 - width, s_width) + 0.05 * none_width) * (0.95 * like_bush + 0.05 * none_bush)
        )
    none = 0.1 * none_width * none_bush
    whole = 0.45 * sum(weights) + none
    assert {one.at: one.chance for one in found.ranked} == pytest.approx(
        {0: 0.45 * weights[0] / whole, 1: 0.45 * weights[1] / whole}, rel=1e-6
    )
    assert found.none == pytest.approx(none / whole, rel=1e-6)


def test_wear_goes_one_way_only(book):
    """A bush larger than new rules out, one as much smaller does not."""
    gears, limits = [one for one, _ in book], book[3][1]
    bush = next(one for one in limits if one.measurand is M.BUSH_OD_FORWARD)
    assert MEASURANDS[bush.measurand].direction is Direction.FALLS
    for by_m, agrees in ((0.003, False), (-0.003, True)):
        readings = [reading(P.BUSH, bush.measurand, bush.new_m + by_m)]
        found = match_gear(gears[3:4], read_of_gear(None, readings, [U_M]))
        assert found.ranked[0].agrees is agrees


def test_a_reading_of_a_part_it_has_not_got_speaks_against_it(book):
    rubber = RunningGear(TrackKind.RUBBER, 48, 0.0725, 0.4, 19, SprocketGaps.EACH, 5, 1)
    gears = [book[0][0], ListedGear("rubber", rubber, parts_of_gear("rubber", rubber, ()))]
    readings = worn(book[0][1], np.random.default_rng(1))
    found = match_gear(gears, read_of_gear(None, readings, [U_M] * len(readings)))
    assert found.ranked[0].at == 0
    assert len(found.ranked[1].outside) == len(readings)


def test_what_tells_the_first_two_apart_is_named_and_then_does(book):
    gear, limits = book[5]
    twin_limits = [
        replace(one, new_m=one.new_m * 1.15, limit_m=one.limit_m * 1.15) if one.part is P.LINK else one
        for one in limits
    ]
    twin = ListedGear("twin", gear.gear, parts_of_gear("twin", gear.gear, twin_limits))
    rng = np.random.default_rng(2)
    readings = worn(limits, rng, left_out={M.RAIL_HEIGHT})
    found = match_gear([gear, twin], read_of_gear(None, readings, [U_M] * len(readings)))
    assert not found.fits
    assert (found.looks[0][0], found.looks[0][1].size) == (P.CHAIN, S.LINK_HEIGHT)
    link = next(one for one in twin_limits if one.part is P.LINK)
    readings.append(reading(P.LINK, M.RAIL_HEIGHT, link.new_m - 0.001))
    found = match_gear([gear, twin], read_of_gear(None, readings, [U_M] * len(readings)))
    assert found.fits
    assert found.ranked[0].at == 1


def test_nothing_to_compare_is_refused(book):
    for gears in ([], [book[0][0]]):
        with pytest.raises(NotAllowedError):
            match_gear(gears, {})
