"""What a verdict says of the ground."""

from dataclasses import replace

import pytest

from pitchline.demo.yard import build_yard
from pitchline.ground.describe import ground_named
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Going, Task
from pitchline.ground.outcomes import Outcome
from pitchline.ground.shoes import MixPart, ShoeKind, ShoeOffer
from pitchline.ground.soils import GROUNDS
from pitchline.ground.standing import standing
from pitchline.ground.two_machines import all_said, beside
from pitchline.judge import judge
from pitchline.judge.ground_fit import STAND_INS, ground_section, section_of
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass, NamedGround
from pitchline.trade.saying import saying
from pitchline.words import label, say


@pytest.fixture(scope="module")
def twins():
    """The two invented machines of one size, by number: 7 on 570 mm shoes, 17 on 870 mm."""
    yard = build_yard()
    return yard.machine(7).dossier, yard.machine(17).dossier


def section_on(dossier, *names, offers=()):
    mix = [MixPart(ground_named(name), 1 / len(names)) for name in names]
    return section_of(
        standing(dossier.machine, dossier.gear), dossier.gear, mix, True, saying("ground.as_asked"), offers=offers
    )


def test_every_verdict_has_one(dossier):
    assert judge(dossier).ground_fit == ground_section(dossier)


def test_named_grounds_are_judged_as_ground_fit_judges_them(dossier):
    named = replace(dossier, ground_mix=(NamedGround("peat", 30), NamedGround("wet heavy clay", 70)))
    section = ground_section(named)
    assert [(one.name, one.percent) for one in section.grounds] == [
        ("peat", pytest.approx(30)),
        ("wet heavy clay", pytest.approx(70)),
    ]
    machine = standing(dossier.machine, dossier.gear)
    for one in section.grounds:
        alone = ground_fit(machine, GROUNDS[one.name])
        assert (one.going, one.because) == (alone.going, alone.because)
        assert one.share == pytest.approx(alone.share)
        for figure, wanted in zip(one.figures, alone.figures, strict=True):
            assert (figure.low, figure.middle, figure.high) == pytest.approx(
                (wanted.low, wanted.middle, wanted.high)
            )


@pytest.mark.parametrize("usual", GroundClass)
def test_stand_ins_wear_no_harder_than_the_class_says_and_suggest_nothing(dossier, usual):
    section = ground_section(replace(dossier, usual_ground=usual))
    assert [one.name for one in section.grounds] == list(STAND_INS[usual])
    assert not section.entered
    assert all(one.percent is None for one in section.grounds)
    assert not any(shoe.suggested for shoe in section.shoes)
    assert label(usual) in say(section.how)
    assert all(GROUNDS[name].wears is not None and GROUNDS[name].wears <= usual for name in STAND_INS[usual])


def test_ground_nobody_entered_is_said_to_be_assumed(dossier):
    assert "nobody entered its ground" in say(ground_section(replace(dossier, ground_entered=False)).how)


def test_every_figure_says_what_it_rests_on_and_inputs_are_all_told(dossier):
    section = ground_section(replace(dossier, ground_mix=(NamedGround("wet heavy clay", 100),)))
    names = {one.name for one in section.inputs}
    for figure in section.grounds[0].figures:
        rests = {*figure.measured, *figure.listed, *figure.assumed}
        assert rests
        assert rests <= names
        assert figure.middle is not None or figure.reason
    widths = {say(one.said) for one in section.inputs if one.name == "shoe_width"}
    assert widths == {f"{dossier.gear.shoe_width_m:.3f} m"}


def test_without_a_mass_nothing_is_said(dossier):
    nobody = replace(dossier, machine=replace(dossier.machine, mass_kg=None))
    section = ground_section(nobody)
    assert {one.going for one in section.grounds} == {Going.UNKNOWN}
    assert section.slew == ()
    assert section.mean_pressure_pa is None


def test_rubble_stays_unknown_and_is_never_suggested_for(dossier):
    section = ground_section(replace(dossier, ground_mix=(NamedGround("demolition rubble", 100),)))
    assert section.grounds[0].going is Going.UNKNOWN
    assert not any(shoe.suggested for shoe in section.shoes)
    assert "No shoe on offer is known to float" in say(section.advice)


def test_shoes_stand_once_each_and_one_is_worn(dossier):
    for section in (
        ground_section(dossier),
        section_on(dossier, "peat", offers=(ShoeOffer(0.9), ShoeOffer(0.9), ShoeOffer(0.7, ShoeKind.FLAT))),
    ):
        offered = [(shoe.width_m, shoe.kind) for shoe in section.shoes]
        assert len(offered) == len(set(offered))
        assert sum(shoe.fitted for shoe in section.shoes) == 1


def test_pressure_as_it_slews_is_told_all_the_way_round(dossier):
    section = ground_section(dossier)
    assert [one.slew_deg for one in section.slew][:2] == [0.0, 10.0]
    assert len(section.slew) == 36
    ahead, behind = section.slew[0], section.slew[18]
    assert ahead.left_pa == pytest.approx(ahead.right_pa)
    assert ahead.left_pa == pytest.approx(behind.left_pa)


def test_load_and_slope_are_said(dossier):
    machine = standing(dossier.machine, dossier.gear)
    mix, how = [MixPart(GROUNDS["stiff clay"], 1.0)], saying("ground.as_asked")
    section = section_of(machine, dossier.gear, mix, True, how, Task(1500.0, 5.0, 8.0))
    assert say(section.task) == "with 1,500 kg at 5 m, on 8 degrees"
    level = section_of(machine, dossier.gear, mix, True, how)
    assert (
        section.grounds[0].figure(Outcome.PEAK_PRESSURE).middle
        > level.grounds[0].figure(Outcome.PEAK_PRESSURE).middle
    )


def test_named_ground_that_is_not_known_is_refused(dossier):
    with pytest.raises(NotAllowedError, match="mud"):
        ground_section(replace(dossier, ground_mix=(NamedGround("mud", 100),)))


@pytest.mark.parametrize(
    "mix",
    [
        (NamedGround("peat", 40), NamedGround("gravel", 40)),
        (NamedGround("peat", 50), NamedGround("peat", 50)),
    ],
)
def test_grounds_that_are_no_whole_year_are_refused(dossier, mix):
    with pytest.raises(NotAllowedError):
        replace(dossier, ground_mix=mix)


def test_twins_are_told_apart_on_soft_ground_and_on_rock(twins):
    """What docs/explanation/ground.md says of numbers 7 and 17."""
    names = ("Gorse", "Sedge")
    grounds = ("wet heavy clay", "peat", "hard rock", "demolition rubble")
    narrow, wide = (section_on(one, *grounds) for one in twins)
    assert [one.going for one in narrow.grounds] == [
        Going.UNCERTAIN,
        Going.DOES_NOT,
        Going.SUITS,
        Going.UNKNOWN,
    ]
    assert [one.going for one in wide.grounds] == [
        Going.UNCERTAIN,
        Going.UNCERTAIN,
        Going.SUITS,
        Going.UNKNOWN,
    ]
    told = beside((narrow, wide), names)
    assert [one.better for one in told] == [1, 1, 0, None]
    assert "on 570 mm shoes against" in say(told[0].said)
    assert "bend, crack and pull bolts" in say(told[2].said)
    assert say(all_said(told, names)) == (
        "Gorse rather on hard rock; Sedge rather on wet heavy clay and peat; nothing tells them apart on demolition rubble."
    )


def test_machine_beside_itself_is_told_apart_nowhere(twins):
    section = section_on(twins[0], "peat", "hard rock", "gravel")
    assert {one.better for one in beside((section, section), ("a", "b"))} == {None}


def test_sections_on_different_grounds_are_not_compared(twins):
    with pytest.raises(NotAllowedError):
        beside((section_on(twins[0], "peat"), section_on(twins[1], "gravel")), ("a", "b"))
