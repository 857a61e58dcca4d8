"""What must hold of any machine's outlook."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.outlook.constants import weak_priors
from pitchline.outlook.crossing import crossing, first_of
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import constants_for
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import believe

CHANCES = np.array([0.1, 0.5, 0.9])
SOME = settings(max_examples=25, deadline=None)


@st.composite
def machines(draw):
    """One to five parts with zero to three readings each, worn at a rate of their own."""
    parts = []
    for _ in range(draw(st.integers(1, 5))):
        count = draw(st.integers(0, 3))
        hours = draw(st.lists(st.floats(100, 2000), min_size=count, max_size=count))
        ground = draw(st.integers(0, GROUNDS - 1))
        life_h = draw(st.floats(2000, 15_000))
        steps = np.zeros((count, GROUNDS))
        steps[:, ground] = hours
        noise = draw(st.lists(st.floats(-0.05, 0.05), min_size=count, max_size=count))
        wear = np.cumsum(hours) / life_h + np.array(noise)
        tail = np.zeros(GROUNDS)
        tail[ground] = draw(st.floats(0, 500))
        known = draw(st.booleans())
        parts.append(
            PartLife(
                draw(st.integers(0, 1)), 0.02, known, True, steps, wear.reshape(-1), np.full(count, 0.04), tail
            )
        )
    return parts


def hours_of(parts, lives_h=(6000.0, 5000.0), level=None):
    paths = stack(parts)
    beliefs = believe(
        paths, constants_for(paths, weak_priors(np.array(lives_h), np.full(2, 0.5)), Habits(), 2), Habits()
    )
    return crossing(beliefs, 2, level).hours(CHANCES), beliefs


@SOME
@given(machines())
def test_three_figures_rise_and_are_finite(parts):
    hours, _ = hours_of(parts)
    assert np.isfinite(hours).all()
    assert (hours >= 0).all()
    assert (np.diff(hours, axis=1) >= -0.05).all()


@SOME
@given(machines(), st.randoms(use_true_random=False))
def test_the_order_of_parts_does_not_matter(parts, random):
    order = list(range(len(parts)))
    random.shuffle(order)
    here, there = hours_of(parts)[0], hours_of([parts[at] for at in order])[0]
    assert there == pytest.approx(here[order], rel=0.02, abs=5.0)


@SOME
@given(machines(), st.floats(0.5, 2.0))
def test_a_slower_clock_stretches_everything_alike(parts, factor):
    """All hours and all typical lives times a factor: hours left times that factor."""
    stretched = [
        PartLife(
            p.kind, p.start_u, p.start_known, p.meter_known, p.step_h * factor, p.wear, p.wear_u, p.tail_h * factor
        )
        for p in parts
    ]
    here = hours_of(parts)[0]
    there = hours_of(stretched, (6000.0 * factor, 5000.0 * factor))[0]
    assert there == pytest.approx(here * factor, rel=0.02, abs=5.0)


@SOME
@given(machines())
def test_a_nearer_level_is_reached_no_later(parts):
    limit = hours_of(parts)[0]
    turn = hours_of(parts, level=np.full(len(parts), 0.5))[0]
    assert (turn <= limit + 0.05).all()


@SOME
@given(machines())
def test_the_first_of_all_comes_no_later_than_any(parts):
    hours, beliefs = hours_of(parts)
    first = first_of(beliefs, crossing(beliefs, 2), list(range(len(parts))), CHANCES)[0]
    assert (first <= hours.min(axis=0) + 0.1).all()
    alone = first_of(beliefs, crossing(beliefs, 2), [0], CHANCES)[0]
    assert alone == pytest.approx(hours[0], rel=1e-3, abs=0.1)


@SOME
@given(st.floats(0.1, 0.8), st.floats(0.02, 0.15))
def test_more_wear_never_means_more_hours(wear, more):
    def part(worn):
        steps = np.zeros((1, GROUNDS))
        steps[0, 2] = 2500.0
        return PartLife(0, 0.02, True, True, steps, np.array([worn]), np.array([0.04]), np.zeros(GROUNDS))

    less_worn, worn = hours_of([part(wear)])[0][0], hours_of([part(wear + more)])[0][0]
    assert (worn <= less_worn + 0.1).all()
