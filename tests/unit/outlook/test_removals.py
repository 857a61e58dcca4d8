"""Learned limits: what a yard runs its parts down to, by what it took off and why."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.outlook.fleet import weak
from pitchline.outlook.learned_limit import LearnedLimit, as_size, learned_limit
from pitchline.outlook.lives import lives_of
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.removals import Removals, learned_limits, removals_from_paths
from pitchline.trade.dossier import Event, Limit, PartEvent
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_events import Because
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.wear.line import wear_line
from pitchline.words import say

SOME = settings(max_examples=40, deadline=None)
START = weak(("rail", "bush"), {"rail": (5000.0, 0.4), "bush": (5000.0, 0.4)})


def simulated(rng, typical=0.9, spread=0.12, count=25, u=0.05, censored=0.3):
    """Removals of one yard: each part would go at its own level; some come off earlier for another reason."""
    level = rng.normal(typical, spread, count)
    other = rng.random(count) < censored
    earlier = rng.uniform(0.2, 1.1, count)
    worn = ~(other & (earlier < level))
    true = np.where(worn, level, earlier)
    return true + rng.normal(0, u, count), np.full(count, u), worn


def test_range_covers_the_true_typical_value_in_eight_yards_of_ten():
    """Six hundred simulated yards with 25 removals, a third of them for other reasons: 75 to 85 %."""
    rng = np.random.default_rng(11)
    found = [learned_limit(*simulated(rng)) for _ in range(600)]
    assert 0.75 <= np.mean([one.low <= 0.9 <= one.high for one in found]) <= 0.85
    assert 0.75 <= np.mean([one.spread_low <= 0.12 <= one.spread_high for one in found]) <= 0.87


def test_few_removals_are_still_covered():
    """Eight removals a yard, spread drawn afresh: the weak prior must not make it sure of itself."""
    rng, inside = np.random.default_rng(12), []
    for _ in range(600):
        typical, spread = rng.normal(0.95, 0.15), 0.15 * np.exp(rng.normal(0, 0.4))
        one = learned_limit(*simulated(rng, typical, spread, 8, censored=0.2))
        if one.low is not None:
            inside.append(one.low <= typical <= one.high)
    assert len(inside) > 500
    assert 0.75 <= np.mean(inside) <= 0.86


def test_doubt_of_the_readings_is_taken_off_the_spread():
    """Levels spread by 0.06, read with a doubt of 0.15: the spread found is that of the levels."""
    rng = np.random.default_rng(13)
    found = learned_limit(
        rng.normal(1.0, 0.06, 1500) + rng.normal(0, 0.15, 1500), np.full(1500, 0.15), np.ones(1500, bool)
    )
    assert found.spread_low < 0.06 < found.spread_high
    assert found.spread < 0.09


def test_parts_that_would_have_gone_on_raise_the_limit():
    """The mean of worn-out removals alone reads low, because parts with a high level came off for other reasons first."""
    rng = np.random.default_rng(14)
    used, u, worn = simulated(rng, count=3000, censored=0.9)
    assert used[worn].mean() < 0.88
    assert learned_limit(used, u, worn).typical == pytest.approx(0.9, abs=0.015)


def test_below_four_worn_out_removals_it_says_too_few():
    worn = np.array([True, True, True, False, False])
    found = learned_limit(np.full(5, 0.9), np.full(5, 0.05), worn)
    assert found == LearnedLimit(None, None, None, None, 5, 3)
    assert say(found.said) == "too few: 3 worn-out of 5 removals, 4 needed"


def test_no_removal_at_all():
    nothing = np.zeros(0)
    assert learned_limit(nothing, nothing, nothing.astype(bool)).typical is None


def test_certain_and_equal_removals_keep_a_finite_range():
    found = learned_limit(np.full(6, 0.8), np.zeros(6), np.ones(6, bool))
    assert found.typical == pytest.approx(0.8, abs=0.01)
    assert 0 < found.high - found.low < 0.1


@pytest.mark.parametrize(
    ("used", "u", "worn"),
    [
        ([0.9, 0.8], [0.1], [True, True]),
        ([0.9, np.nan], [0.1, 0.1], [True, True]),
        ([0.9, 0.8], [0.1, -0.1], [True, True]),
    ],
)
def test_figures_that_cannot_be_are_refused(used, u, worn):
    with pytest.raises(NotAllowedError, match="removals"):
        learned_limit(np.array(used), np.array(u), np.array(worn))


@SOME
@given(
    st.lists(
        st.tuples(st.floats(0.3, 1.5), st.floats(0.0, 0.2), st.booleans()),
        min_size=4,
        max_size=30,
    ).filter(lambda rows: sum(worn for _, _, worn in rows) >= 4),
    st.randoms(use_true_random=False),
)
def test_order_does_not_matter_and_figures_rise(rows, random):
    used, u, worn = (np.array(column) for column in zip(*rows, strict=True))
    here = learned_limit(used, u, worn)
    order = list(range(len(rows)))
    random.shuffle(order)
    there = learned_limit(used[order], u[order], worn[order])
    assert here.low < here.typical < here.high
    assert there.typical == pytest.approx(here.typical, abs=1e-6)


@SOME
@given(st.integers(0, 1000), st.floats(0.05, 0.4))
def test_removals_further_down_never_lower_the_limit(seed, more):
    used, u, worn = simulated(np.random.default_rng(seed))
    before, after = learned_limit(used, u, worn), learned_limit(used + more, u, worn)
    assert after.typical > before.typical


@SOME
@given(st.integers(0, 1000), st.floats(0.9, 2.0))
def test_one_more_part_that_would_have_gone_on_never_lowers_the_limit(seed, beyond):
    used, u, worn = simulated(np.random.default_rng(seed))
    before = learned_limit(used, u, worn)
    after = learned_limit(np.append(used, beyond), np.append(u, 0.05), np.append(worn, False))
    assert after.typical >= before.typical - 1e-3


def test_as_size_stands_beside_the_entered_limit():
    """0.9 of 10 mm from 110 mm is 101 mm: the definition of life used on a straight line."""
    line = wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100))
    size = as_size(line, LearnedLimit(0.9, 0.8, 1.1, 0.1, 12, 9))
    assert (size.typical_m, size.from_m, size.to_m, size.limit_m) == pytest.approx((0.101, 0.102, 0.099, 0.100))
    assert as_size(line, LearnedLimit(None, None, None, None, 3, 3)) is None


def hours(*h):
    found = np.zeros((len(h), GROUNDS))
    found[:, 2] = h
    return found


def worn_part(kind, read_wear, tail_h=0.0):
    return PartLife(
        kind, 0.02, True, True, hours(4000.0), np.array([read_wear]), np.array([0.03]), hours(tail_h)[0]
    )


@pytest.fixture
def two_places():
    """Place one: a rail read at 0.80 after 4,000 h, taken off 500 h later, and its successor. Place two: one never read."""
    never = PartLife(1, 0.02, True, True, np.zeros((0, GROUNDS)), np.zeros(0), np.zeros(0), hours(3000.0)[0])
    return stack([worn_part(0, 0.80), worn_part(0, 0.30), never])


def test_life_used_is_carried_on_to_the_removal(two_places):
    """At 0.80 in 4,000 h the part wears about 0.0002 an hour: 500 h later about 0.90, and less certain than the reading."""
    removed = np.array([True, False, True])
    found = removals_from_paths(two_places, removed, hours(500.0, 0.0, 0.0), ["worn", "", "Broken"], START)
    assert found.row.tolist() == [0]
    assert found.because == (Because.WORN,)
    assert found.life_used[0] == pytest.approx(0.90, abs=0.03)
    assert 0.02 < found.life_used_u[0] < 0.10


def test_hours_of_parts_still_fitted_are_not_touched(two_places):
    """Hours given for a part that is still fitted change nothing."""
    removed = np.array([True, False, False])
    here = removals_from_paths(two_places, removed, hours(500.0, 0.0, 0.0), ["worn", "", ""], START)
    there = removals_from_paths(two_places, removed, hours(500.0, 9999.0, 9999.0), ["worn", "", ""], START)
    assert np.array_equal(here.life_used, there.life_used)


@pytest.mark.parametrize("machines", [0, 400])
def test_a_part_changed_unseen_on_another_machine_is_no_removal_and_no_hindrance(machines):
    """A rail read at 0.90 and 1,000 h later at 0.03 was changed, nobody wrote it down, and it is still fitted."""
    changed = PartLife(
        0, 0.02, True, True, hours(4500.0, 1000.0), np.array([0.90, 0.03]), np.array([0.03, 0.03]), hours(0.0)[0]
    )
    paths, removed = stack([worn_part(0, 0.80), changed], [0, 1]), np.array([True, False])
    found = removals_from_paths(paths, removed, hours(500.0, 0.0), ["worn", ""], replace(START, machines=machines))
    assert found.row.tolist() == [0]
    assert found.life_used[0] == pytest.approx(0.90, abs=0.03)


def test_a_dossier_gives_removals_too(dossier):
    """New left rollers at 3,000 h, where the last walk-round read the old ones at 0.33: five removals at about that."""
    rollers = PartEvent(Place(PartKind.BOTTOM_ROLLER, Side.LEFT), Event.FITTED_NEW, 3000.0)
    lives = lives_of(replace(dossier, events=(*dossier.events, rollers)), 3200.0)
    paths = stack([life.path for life in lives.lives])
    ended = np.array([life.ended_h is not None and life.ended_h == 3000.0 for life in lives.lives])
    kinds = {
        kind.part.value + kind.measurand.value: (kind.typical_life_h, kind.log_spread) for kind in lives.kinds
    }
    found = removals_from_paths(paths, ended, paths.tail_h, ["together"] * ended.size, weak(tuple(kinds), kinds))
    assert found.row.size == 5
    assert found.life_used == pytest.approx(0.33, abs=0.05)
    assert not found.worn.any()


def test_a_reason_nobody_knows_is_refused(two_places):
    removed = np.array([True, False, False])
    with pytest.raises(NotAllowedError, match="worn, broken, together, unknown"):
        removals_from_paths(two_places, removed, hours(500.0, 0.0, 0.0), ["tired", "", ""], START)


def test_arrays_of_different_length_are_refused(two_places):
    with pytest.raises(NotAllowedError, match="one row for each of 3 parts"):
        removals_from_paths(two_places, np.array([True]), hours(500.0), ["worn"], START)


def test_a_yard_that_runs_past_the_limit_is_found_out(simulator):
    """Parts simulated from the wear model and taken off for wear near 1.2: read on the way, carried on to the removal."""
    sim, lives, tails = simulator(21), [], []
    for _ in range(60):
        effect, level = sim.rng.normal(0, 0.3), sim.rng.normal(1.2, 0.05)
        part = sim.part(0, effect, np.cumsum([0.0, *np.full(30, 400.0)]), True, 0.04)
        read = int(np.argmax(part.wear > level - 0.15))
        assert read
        rate = part.wear[read] / part.step_h[: read + 1].sum()
        lives.append(replace(part, step_h=part.step_h[:read], wear=part.wear[:read], wear_u=part.wear_u[:read]))
        tails.append((level - part.wear[read - 1]) / rate)
    paths = stack(lives, list(range(60)))
    start = weak(("rail",), {"rail": (6000.0, 0.5)})
    removals = removals_from_paths(paths, np.ones(60, bool), hours(*tails), ["worn"] * 60, start)
    found = learned_limits(removals, ("rail", "bush"))
    assert list(found) == ["rail"]
    assert found["rail"].worn_out == 60
    assert found["rail"].typical == pytest.approx(1.2, abs=0.05)


def test_kinds_are_learned_apart():
    kind = np.repeat([0, 1], 10)
    removals = Removals(np.arange(20), kind, np.where(kind, 1.3, 0.8), np.full(20, 0.03), (Because.WORN,) * 20)
    found = learned_limits(removals, ("rail", "bush"))
    assert found["rail"].typical == pytest.approx(0.8, abs=0.03)
    assert found["bush"].typical == pytest.approx(1.3, abs=0.03)
