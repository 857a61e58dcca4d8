"""Ground fit and shoes of one invented machine."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.ground.describe import ground_named, unknown_ground, with_cone
from pitchline.ground.fit import fits_of, ground_fit, ranges_of
from pitchline.ground.going import Going, Task, ground_table
from pitchline.ground.outcomes import OUTCOMES, Outcome
from pitchline.ground.shoes import MixPart, ShoeKind, ShoeOffer, compare_shoes, expected_wear
from pitchline.ground.soils import GROUNDS
from pitchline.ground.spans import Basis, even_shares
from pitchline.ground.standing import standing
from pitchline.ground.sweeps import slew_sweep, slip_curve
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, Machine, MachineKind, TrackKind
from pitchline.words import say

EFFECTS = (-0.7, -0.35, 0.0, 0.4, 0.8)


def test_every_figure_tells_its_inputs_and_a_missing_one_its_reason(stands):
    for ground in GROUNDS.values():
        for one in ground_fit(stands, ground, draws=64).figures:
            assert one.inputs
            assert {each.name for each in one.inputs} >= set(OUTCOMES[one.outcome].inputs)
            assert bool(one.reason) == (one.without > 0), (ground.name, one.outcome)
            assert (one.middle is None) == (one.without == 1)
            assert one.middle is None or one.low <= one.middle <= one.high


def test_measured_sizes_are_told_as_measured_and_narrow_the_range(stands):
    ground = GROUNDS["stiff clay"]
    known = stands.with_figures(Basis.MEASURED, level_length_m=3.6, loop_height_m=0.9)
    wide, narrow = (ground_fit(one, ground).figure(Outcome.PRESSURE) for one in (stands, known))
    assert narrow.resting_on(Basis.MEASURED) == ("level_length", "loop_height")
    assert narrow.high - narrow.low < 1e-6 < wide.high - wide.low
    assert narrow.middle == pytest.approx(20_000 * 9.81 / (2 * 0.6 * (3.6 + 0.33 * 0.9)))


def test_hard_ground_counts_the_level_run_alone(stands):
    known = stands.with_figures(Basis.MEASURED, level_length_m=3.6)
    found = ground_fit(known, GROUNDS["hard rock"]).figure(Outcome.PRESSURE)
    assert found.middle == pytest.approx(20_000 * 9.81 / (2 * 0.6 * 3.6))


def test_cone_decides_one_pass_and_fifty(stands):
    """RCI of 15 against about 12 for one pass and 30 for fifty."""
    fit = ground_fit(stands, with_cone(unknown_ground(), 20.0, 0.75))
    assert fit.figure(Outcome.SPARE_ONCE).middle > 0 > fit.figure(Outcome.SPARE_OFTEN).middle
    assert fit.going is Going.SUITS
    assert fit.often_share == 0.0
    assert ground_fit(stands, with_cone(unknown_ground(), 8.0, 0.75)).going is Going.DOES_NOT


def test_ranking_never_decides(stands):
    fit = ground_fit(stands, GROUNDS["floating bog"])
    assert fit.going is Going.UNKNOWN
    assert say(fit.ranking).startswith("above the limit for a single pass")


def test_rubber_tracks_have_no_mean_maximum_pressure(stands):
    rubber = replace(stands, track=TrackKind.RUBBER)
    found = ground_fit(rubber, GROUNDS["stiff clay"]).figure(Outcome.PEAKS)
    assert found.middle is None
    assert "rubber" in say(found.reason)


def test_a_slope_past_tipping_or_a_load_past_the_tracks_never_suits(stands):
    for task, words in (
        (Task(slope_deg=59.0), "sliding down"),
        (Task(load_kg=20_000, reach_m=12.0), "tipping over"),
    ):
        fit = ground_fit(stands, GROUNDS["hard rock"], task)
        assert fit.going is Going.DOES_NOT
        assert words in say(fit.because)


def test_cautions_come_with_every_fit(stands):
    assert any("competent person" in say(caution) for caution in ground_fit(stands, unknown_ground()).cautions)


def test_table_of_many_is_the_same_as_one_by_one(stands):
    grounds = tuple(GROUNDS.values())[:6]
    table = ground_table(stands, grounds, (0.5, 0.9), draws=128)
    rows = fits_of(stands, grounds, (0.5, 0.9), Task(), table)
    for ground, row in zip(grounds, rows, strict=True):
        for width, fit in zip((0.5, 0.9), row, strict=True):
            alone = ground_fit(stands.with_figures(Basis.LISTED, shoe_width_m=width), ground, draws=128)
            assert fit.going is alone.going
            for one, two in zip(fit.figures, alone.figures, strict=True):
                assert one.middle == pytest.approx(two.middle) if one.middle is not None else two.middle is None


def test_ranges_are_order_statistics():
    draws = np.append(np.arange(11.0), np.nan)
    assert ranges_of(draws).tolist() == pytest.approx([1.0, 5.0, 9.0, 1 / 12])
    assert np.isnan(ranges_of(np.full(4, np.nan))[:3]).all()


def test_draws_are_even():
    shares = even_shares(5, 1024, 3)
    assert shares.mean(axis=1) == pytest.approx(0.5, abs=0.01)
    assert ((shares >= 0) & (shares < 1)).all()


def test_narrowest_that_floats(stands):
    mix = [MixPart(GROUNDS["medium clay"], 0.6), MixPart(GROUNDS["hard rock"], 0.4)]
    found = compare_shoes(stands, [ShoeOffer(one) for one in (0.9, 0.3, 0.6)], mix, EFFECTS, draws=256)
    assert [choice.offer.width_m for choice in found.choices] == [0.3, 0.6, 0.9]
    suits = {choice.offer.width_m: choice.suits for choice in found.choices}
    assert suits[0.3] < suits[0.6] == suits[0.9] == 1.0
    assert found.suggested.width_m == 0.6
    assert "300 mm" in say(found.because)
    assert any("rock" in say(remark) for remark in found.choices[-1].remarks)


def test_nothing_is_suggested_where_nothing_is_known(stands):
    found = compare_shoes(
        stands, [ShoeOffer(0.6)], [MixPart(GROUNDS["demolition rubble"], 1.0)], EFFECTS, draws=64
    )
    assert found.suggested is None
    assert found.choices[0].unknown == 1.0


def test_expected_wear_is_the_mean_over_the_hours():
    """Half harsh at exp(0.8), half kind at exp(-0.7): by hand."""
    mix = [MixPart(GROUNDS["hard rock"], 0.5), MixPart(GROUNDS["peat"], 0.5)]
    assert expected_wear(mix, EFFECTS) == pytest.approx(0.5 * 2.225541 + 0.5 * 0.496585, rel=1e-5)
    assert expected_wear([MixPart(unknown_ground(), 1.0)], EFFECTS) is None


def test_unusual_shoes_for_the_mass_are_remarked(stands):
    offers = [ShoeOffer(0.6, ShoeKind.RUBBER_TRACK), ShoeOffer(0.6, ShoeKind.RUBBER_PADS), ShoeOffer(0.6)]
    found = compare_shoes(stands, offers, [MixPart(GROUNDS["concrete or paving"], 1.0)], EFFECTS, draws=64)
    unusual = [any("unusual" in say(remark) for remark in choice.remarks) for choice in found.choices]
    assert unusual == [True, True, False]


def test_slew_sweep_is_highest_over_a_corner(stands):
    task = Task(load_kg=2000, reach_m=5.0)
    sweep = slew_sweep(stands, task, draws=128)
    worst = sweep.slew_deg[int(np.argmax(sweep.right_pa[:, 1]))]
    assert 0 < worst < 90 or 90 < worst < 180
    whole = ground_fit(stands, unknown_ground(), task, draws=128).figure(Outcome.PEAK_PRESSURE)
    assert whole.middle == pytest.approx(float(sweep.right_pa[:, 1].max()), rel=0.03)


def test_slip_curve_meets_the_pull_that_is_told(stands):
    ground = ground_named("dry sand")
    curve = slip_curve(stands, ground)
    told = ground_fit(stands, ground).figure(Outcome.PULL)
    assert float(np.interp(0.2, curve.slip, curve.pull[:, 1])) == pytest.approx(told.middle, rel=0.01)
    assert (np.diff(curve.pull[:, 1]) > 0).all()
    assert slip_curve(stands, unknown_ground()) is None


def test_contact_length_by_geometry_of_the_loop(steel_gear):
    """45 joints of 200 mm round two wheels of 0.2/sin(pi/11.5) m: (9.0 - pi 0.741)/2 = 3.336 m, by hand."""
    machine = Machine("x", "x", MachineKind.EXCAVATOR, 20_000.0)
    level = standing(machine, steel_gear).level_length_m
    assert level.low <= 3.336 <= level.high
    raised = standing(machine, replace(steel_gear, layout=Layout.RAISED_SPROCKET)).level_length_m
    assert raised.high < 0.4 * 9.0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda stands: Task(load_kg=-1.0),
        lambda stands: Task(slope_deg=60.0),
        lambda stands: ground_table(stands, []),
        lambda stands: stands.with_figures(Basis.LISTED, mass_kg=0.0),
        lambda stands: ShoeOffer(0.05),
        lambda stands: MixPart(GROUNDS["peat"], 0.0),
        lambda stands: compare_shoes(stands, [], [MixPart(GROUNDS["peat"], 1.0)], EFFECTS),
        lambda stands: compare_shoes(stands, [ShoeOffer(0.6)], [MixPart(GROUNDS["peat"], 0.5)], EFFECTS),
        lambda stands: compare_shoes(stands, [ShoeOffer(0.6)], [MixPart(GROUNDS["peat"], 1.0)], (0.0,)),
    ],
)
def test_what_cannot_be_is_refused(stands, wrong):
    with pytest.raises(NotAllowedError):
        wrong(stands)
