"""What must be true of interest, worth, bids and order lists whatever the figures."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.money.amount import Money
from pitchline.money.bid import bid
from pitchline.money.tax import with_tax
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.stops.order import StopJob, order_list
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind, Place, Side

GEAR = RunningGear(TrackKind.STEEL, 45, 0.2, 0.6, 23, SprocketGaps.EACH, 7, 2, (1, 7), bolts_per_shoe=4)
rates, periods = st.floats(0, 1), st.floats(0.5, 60)
amounts = st.floats(0, 1e6)
rising = st.tuples(amounts, amounts, amounts).map(sorted)
shares = st.tuples(*[st.floats(0, 1)] * 3).map(sorted)


@st.composite
def valued(draw):
    """Some parts at different places; those put right have nothing left."""
    parts = []
    for number in range(1, draw(st.integers(1, 6)) + 1):
        right = draw(st.booleans())
        left = [0.0, 0.0, 0.0] if right else draw(shares)
        place = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, number)
        parts.append(ValuedPart(place, Money(*draw(rising), "EUR"), *left, put_right=right))
    return tuple(parts)


def worth_of(parts, put_right=(0.0, 0.0, 0.0), stop=0.0):
    new = Money(*(sum(getattr(p.installed, f) for p in parts) for f in ("low", "usual", "high")), "EUR")
    left, capped = worth_left(parts, "EUR")
    cure = Money(*put_right, "EUR")
    return Worth(
        new, left, against_half(parts, "EUR"), cure, (), Money(stop, stop, stop, "EUR"), capped, parts, ()
    )


@given(valued())
def test_what_is_left_lies_between_nothing_and_as_new(parts):
    left, new = worth_left(parts, "EUR")[0], worth_of(parts).as_new
    assert 0 <= left.low <= left.usual + 1e-6 <= left.high + 2e-6
    assert left.usual <= new.usual + 1e-6
    half = against_half(parts, "EUR")
    assert half.usual == pytest.approx(left.usual - new.usual / 2, abs=1e-6)
    assert half.low <= half.usual + 1e-6 <= half.high + 2e-6


@given(valued(), amounts)
def test_a_cap_is_never_passed(parts, cap):
    left, capped = worth_left(parts, "EUR", cap)
    assert left.high <= cap
    assert capped == (worth_left(parts, "EUR")[0].usual > cap)


@given(valued(), st.floats(1, 1e7), rising, amounts)
def test_an_offer_rises_from_low_to_high_and_stays_inside(parts, asking, cure, stop):
    made = bid(asking, worth_of(parts, tuple(cure), stop))
    assert 0 <= made.offer.low <= made.offer.usual + 1e-6
    assert made.offer.usual <= made.offer.high + 1e-6 <= asking + 2e-6
    assert made.worth_it.usual == pytest.approx(sum(line.amount.usual for line in made.lines), rel=1e-9, abs=1e-6)


@given(valued(), st.floats(1, 1e7), st.floats(0, 1))
def test_less_life_never_makes_a_better_offer(parts, asking, factor):
    worse = tuple(
        replace(p, cautious=factor * p.cautious, usual=factor * p.usual, hopeful=factor * p.hopeful) for p in parts
    )
    assert bid(asking, worth_of(worse)).worth_it.usual <= bid(asking, worth_of(parts)).worth_it.usual + 1e-6


@given(valued(), st.floats(0.01, 100))
def test_all_money_times_a_factor_is_all_figures_times_it(parts, factor):
    scaled = tuple(
        replace(
            p,
            installed=Money(*(factor * x for x in (p.installed.low, p.installed.usual, p.installed.high)), "EUR"),
        )
        for p in parts
    )
    for figure in ("low", "usual", "high"):
        once = getattr(against_half(parts, "EUR"), figure)
        assert getattr(against_half(scaled, "EUR"), figure) == pytest.approx(factor * once, rel=1e-9, abs=1e-6)


@given(rising, st.floats(0, 1))
def test_tax_and_net_make_gross_to_the_cent(figures, rate):
    taxed = with_tax(Money(*figures, "EUR"), rate)
    for figure in ("low", "usual", "high"):
        net, tax, gross = (getattr(money, figure) for money in (taxed.net, taxed.tax, taxed.gross))
        assert gross == pytest.approx(net + tax, abs=1e-6)
        assert tax == pytest.approx(net * rate, abs=0.0051)


@st.composite
def stop_jobs(draw):
    """Any jobs on any places of one running gear, whole sides of it."""
    found = []
    for _ in range(draw(st.integers(0, 6))):
        part = draw(st.sampled_from([place.part for place in GEAR.places()]))
        places = tuple(p for p in GEAR.places() if p.part is part and draw(st.booleans()))
        if places:
            each = GEAR.joints_per_side if part in (PartKind.CHAIN, PartKind.SHOE, PartKind.BUSH) else 1
            found.append(
                StopJob(
                    draw(st.sampled_from(list(JobKind))), places, each * len(places), draw(st.none() | amounts)
                )
            )
    return tuple(found)


@given(stop_jobs())
def test_an_order_list_counts_nothing_below_one_and_says_everything_once(jobs):
    order = order_list(jobs, GEAR)
    for lines in (order.parts, order.handled, order.consumables, order.ask):
        assert len({line.words for line in lines}) == len(lines)
        assert all(line.count is None or line.count > 0 for line in lines)
        assert all(line.places for line in lines)
    assert set(order.labour_not_known) == {job for job in jobs if job.labour_h is None}


@given(st.permutations(range(4)), st.booleans())
def test_the_order_of_the_jobs_does_not_change_the_counts(order, both):
    sides = (Side.LEFT, Side.RIGHT) if both else (Side.LEFT,)
    jobs = [
        StopJob(JobKind.REPLACE, tuple(Place(PartKind.CHAIN, side) for side in sides), 45 * len(sides)),
        StopJob(JobKind.RESHOE, (Place(PartKind.SHOE, Side.LEFT), Place(PartKind.SHOE, Side.RIGHT)), 90),
        StopJob(JobKind.RESHOE, (Place(PartKind.SHOE, Side.RIGHT),), 3),
        StopJob(JobKind.REPLACE, (Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 1),), 1),
    ]
    counts = {line.words: line.count for line in order_list(tuple(jobs), GEAR).parts}
    mixed = {line.words: line.count for line in order_list(tuple(jobs[n] for n in order), GEAR).parts}
    assert mixed == counts
