"""The audit: yards drawn from the model keep the promise, overconfident ones are found out, and nothing is peeked at."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from pitchline.outlook.audit import ENOUGH_READINGS, Lean, Width, audit, audit_rows
from pitchline.outlook.fleet import weak
from pitchline.outlook.mixture import Mixture
from pitchline.outlook.paths import stack
from pitchline.outlook.walk_checks import walk_rounds
from pitchline.outlook.walk_forward import (
    Predicted,
    cut_points,
    known_before,
    plain_line,
    walk_forward,
)
from pitchline.trade.errors import NotAllowedError

KINDS = ("rail", "bush", "roller")
START = weak(KINDS, {"rail": (6000.0, 0.5), "bush": (5000.0, 0.5), "roller": (4000.0, 0.5)})


def predicted_of(chance, kind=None, machine=None):
    """Predicted readings with nothing but their chances given."""
    count, flat = len(chance), np.zeros(len(chance))
    numbers = np.zeros(count, np.int64)
    return Predicted(
        np.arange(count),
        numbers if kind is None else kind,
        np.arange(count) if machine is None else machine,
        numbers + 1,
        np.asarray(chance),
        flat,
        flat,
        flat,
        0,
        (),
    )


@pytest.fixture(scope="module")
def audited():
    """The audit of one large simulated yard, filled by the first test that asks."""
    return {}


@pytest.fixture
def honest(simulator, audited):
    if "honest" not in audited:
        yard = simulator(3).yard(machines=150)
        audited["honest"] = audit(yard.paths, KINDS, START, yard.start_h, cuts=2)
    return audited["honest"]


def test_a_yard_drawn_from_the_model_keeps_the_promise(honest):
    """Within three standard deviations, readings of one machine free to move together."""
    for found, promised, u in zip(honest.overall.inside, (0.5, 0.8, 0.9), honest.overall.inside_u, strict=True):
        assert found == pytest.approx(promised, abs=3 * u)
    assert honest.overall.readings > 1500
    assert honest.overall.width is Width.AS_PROMISED
    assert honest.overall.lean is Lean.NONE


def test_the_forecast_is_even_on_a_yard_drawn_from_the_model(honest):
    """Kolmogorov-Smirnov: 1.63 / sqrt(n) is exceeded once in a hundred (textbook), doubled as readings hang together."""
    assert honest.overall.ks < 2 * 1.63 / np.sqrt(honest.overall.readings)


def test_the_model_beats_the_plain_line(honest):
    assert honest.overall.against_plain < 0.9
    assert honest.overall.miss < honest.overall.plain_miss


def test_rows_add_up(honest):
    assert [row.kind for row in honest.kinds] == list(KINDS)
    assert sum(row.readings for row in honest.kinds) == honest.overall.readings
    assert honest.overall.readings + honest.left_out == 150 * 6 * 2
    assert sum(honest.overall.histogram) == honest.overall.readings


def test_halved_doubts_are_called_too_narrow(simulator):
    """A yard that claims to read twice as well as it does promises too much."""
    yard = simulator(4).yard(machines=60, u=0.08)
    boasting = replace(yard.paths, wear_u=np.where(yard.paths.wear_u < 1, yard.paths.wear_u / 2, 1.0))
    found = audit(boasting, KINDS, START, yard.start_h, cuts=1)
    assert found.overall.width is Width.TOO_NARROW
    assert found.overall.inside[1] < 0.77
    assert found.overall.histogram[0] + found.overall.histogram[-1] > 0.22 * found.overall.readings


def test_doubled_doubts_are_called_too_wide(simulator):
    yard = simulator(5).yard(machines=60, u=0.08)
    timid = replace(yard.paths, wear_u=np.where(yard.paths.wear_u < 1, yard.paths.wear_u * 2, 1.0))
    found = audit(timid, KINDS, START, yard.start_h, cuts=1)
    assert found.overall.width is Width.TOO_WIDE


def test_a_small_yard_integrates_over_its_constants(simulator):
    """Five machines: ranges stay near the promise although little is learned. Several yards together."""
    chances, machines = [], []
    for seed in range(6):
        yard = simulator(100 + seed).yard(machines=5)
        found = walk_forward(yard.paths, START, walk_rounds(yard.paths, yard.start_h), cuts=2)
        chances.append(found.chance_below)
        machines.append(found.machine + 5 * seed)
    overall, _ = audit_rows(predicted_of(np.concatenate(chances), machine=np.concatenate(machines)), ("all",))
    assert overall.inside[1] == pytest.approx(0.8, abs=3 * overall.inside_u[1])


def test_hidden_readings_are_not_peeked_at(simulator):
    """Turning the last walk-round into nonsense changes no prediction of the one before."""
    yard = simulator(6).yard(machines=4)
    walk = walk_rounds(yard.paths, yard.start_h)
    nonsense = replace(yard.paths, wear=np.where(walk == 2, 9.0, yard.paths.wear))
    here, there = (walk_forward(paths, START, walk, cuts=3) for paths in (yard.paths, nonsense))
    first = here.walk_round == 1
    assert first.any()
    assert np.array_equal(here.chance_below[first], there.chance_below[first])
    assert not np.allclose(here.chance_below[~first], there.chance_below[~first])


def test_first_readings_of_unknown_age_are_left_out(simulator):
    yard = simulator(7).yard(machines=3, walks=2, known=0.0)
    walk = walk_rounds(yard.paths, yard.start_h)
    late = replace(yard.paths, count=yard.paths.count.copy())
    found = walk_forward(late, START, np.where(walk >= 0, walk + 1, -1), cuts=1)
    assert found.left_out == 3 * 6
    assert (found.walk_round == 2).all()


def test_one_walk_round_predicts_nothing(simulator):
    yard = simulator(8).yard(machines=3, walks=1)
    found = audit(yard.paths, KINDS, START, yard.start_h)
    assert found.overall is None
    assert found.kinds == ()
    assert found.walk_rounds == 1


def test_the_same_twice(simulator):
    yard = simulator(9).yard(machines=4)
    assert audit(yard.paths, KINDS, START, yard.start_h) == audit(yard.paths, KINDS, START, yard.start_h)


def test_walk_rounds_are_counted_by_meter_hours(simulator):
    """A part fitted later joins the machine's second walk-round; another machine counts for itself."""
    sim = simulator(10)
    lives = [
        sim.part(0, 0.0, [0.0, 500.0, 1500.0], True, 0.04),
        sim.part(0, 0.0, [600.0, 1500.4], True, 0.04),
        sim.part(0, 0.0, [0.0, 700.0], True, 0.04),
    ]
    paths = stack(lives, [0, 0, 1])
    assert walk_rounds(paths, np.array([0.0, 600.0, 0.0])).tolist() == [[0, 1], [1, -1], [0, -1]]


def test_known_before_carries_to_the_hidden_reading(simulator):
    yard = simulator(11).yard(machines=2)
    walk = walk_rounds(yard.paths, yard.start_h)
    known = known_before(yard.paths, walk, 2)
    assert (known.count == 2).all()
    assert np.array_equal(known.tail_h, yard.paths.step_h[:, 2])
    assert (known.wear[:, 2] == 0).all()
    assert (known.wear_u[:, 2] == 1).all()


def test_the_plain_line_goes_on_at_the_pace_so_far(simulator):
    """0.30 worn in 1,500 h: after 500 h more, 0.40. Without readings: the kind's average pace."""
    sim = simulator(12)
    lives = [
        sim.part(0, 0.0, [0.0, 1000.0, 1500.0, 2000.0], True, 0.04),
        sim.part(0, 0.0, [0.0, 500.0], True, 0.04),
    ]
    paths = stack(lives)
    paths = replace(paths, wear=np.array([[0.25, 0.30, 0.0], [0.0, 0.0, 0.0]]))
    walk = np.array([[0, 1, 2], [2, -1, -1]])
    assert plain_line(known_before(paths, walk, 2), START) == pytest.approx([0.40, 0.10])


def test_too_few_readings_are_called_so():
    overall, _ = audit_rows(predicted_of(np.full(ENOUGH_READINGS - 1, 0.999)), ("rail",))
    assert overall.width is Width.TOO_FEW
    assert overall.lean is Lean.TOO_FEW


def test_parts_that_wear_faster_are_called_so():
    rng = np.random.default_rng(1)
    overall, _ = audit_rows(predicted_of(rng.beta(3, 2, 2000)), ("rail",))
    assert overall.lean is Lean.FASTER


def test_one_machine_that_is_off_is_not_called_too_narrow():
    """Sixty readings of one machine all outside: they may have moved together, so no kind is blamed."""
    chance = np.concatenate((np.full(60, 0.95), np.linspace(0.001, 0.999, 120)))
    machine = np.concatenate((np.zeros(60, np.int64), np.arange(1, 121)))
    together, _ = audit_rows(predicted_of(chance, machine=machine), ("rail",))
    apart, _ = audit_rows(predicted_of(chance), ("rail",))
    assert together.width is Width.AS_PROMISED
    assert apart.width is Width.TOO_NARROW


def test_ks_agrees_with_scipy():
    """Source: scipy.stats.kstest."""
    chance = np.random.default_rng(2).beta(2, 3, 500)
    overall, _ = audit_rows(predicted_of(chance), ("rail",))
    assert overall.ks == pytest.approx(stats.kstest(chance, "uniform").statistic, abs=1e-12)


def test_binomial_doubt_agrees_with_scipy():
    """Source: scipy.stats.binom."""
    overall, _ = audit_rows(predicted_of(np.linspace(0.01, 0.99, 250)), ("rail",))
    assert overall.binomial_u == pytest.approx([stats.binom(250, p).std() / 250 for p in (0.5, 0.8, 0.9)])


def test_crps_of_a_mixture_agrees_with_its_closed_form():
    """Source: closed form for normal mixtures, Grimit, Gneiting, Berrocal and Johnson, Q. J. R. Meteorol. Soc. 132 (2006) 2925
    (from memory), built here on scipy.stats.norm."""
    rng = np.random.default_rng(3)
    weight = rng.dirichlet(np.ones(4), 50)
    mean, deviation = rng.normal(0, 1, (50, 4)), rng.uniform(0.2, 1.0, (50, 4))
    truth = rng.normal(0, 2, 50)

    def spread(miss, variance):
        s = np.sqrt(variance)
        return 2 * s * stats.norm.pdf(miss / s) + miss * (2 * stats.norm.cdf(miss / s) - 1)

    near = (weight * spread(truth[:, None] - mean, deviation**2)).sum(axis=1)
    pairs = spread(mean[:, :, None] - mean[:, None], deviation[:, :, None] ** 2 + deviation[:, None] ** 2)
    apart = (weight[:, :, None] * weight[:, None] * pairs).sum(axis=(1, 2))
    assert Mixture(weight, mean, deviation).crps(truth) == pytest.approx(near - apart / 2, abs=5e-4)


def test_cut_points_begin_with_the_second_walk_round():
    assert cut_points(np.array([[0, 1, 2, 3]] * 5), 3) == (1, 2, 3)
    assert cut_points(np.array([[0, 1]]), 3) == (1,)
    assert cut_points(np.array([[0, -1]]), 3) == ()


@pytest.mark.parametrize("cuts", [0, -1])
def test_no_cut_is_refused(simulator, cuts):
    yard = simulator(13).yard(machines=2)
    with pytest.raises(NotAllowedError, match="times to learn anew"):
        walk_forward(yard.paths, START, walk_rounds(yard.paths, yard.start_h), cuts=cuts)


def test_walk_numbers_must_rise(simulator):
    yard = simulator(14).yard(machines=2)
    with pytest.raises(NotAllowedError, match="walk-round numbers"):
        walk_forward(yard.paths, START, np.zeros(yard.paths.wear.shape, np.int64))
