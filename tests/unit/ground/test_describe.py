"""Ground as people describe it."""

import pytest

from pitchline.ground.describe import (
    BootTest,
    ThumbTest,
    ground_named,
    unknown_ground,
    with_cone,
    with_test,
    with_vane,
)
from pitchline.ground.soils import GROUNDS, STRENGTH_CLASSES_PA
from pitchline.ground.spans import Basis
from pitchline.ground.terrain import TERRAINS
from pitchline.trade.errors import NotAllowedError
from pitchline.words import say


def test_there_are_at_least_twenty_grounds_and_every_tested_soil_named_exists():
    assert len(GROUNDS) >= 20
    assert {row for ground in GROUNDS.values() for row in ground.terrains} <= set(TERRAINS)


def test_every_range_names_its_source():
    for ground in GROUNDS.values():
        for name in ("shear_m", "rating_index", "strength_pa", "friction_deg", "weight_n_m3", "sliding"):
            span = getattr(ground, name)
            assert span is None or (span.source and span.low <= span.high), (ground.name, name)


def test_moisture_chooses_and_its_lack_widens():
    wet, either = ground_named("lean clay", "wet"), ground_named("lean clay")
    assert wet is GROUNDS["wet lean clay"]
    assert set(either.terrains) == {*GROUNDS["moist lean clay"].terrains, *wet.terrains}
    assert (either.strength_pa.low, either.strength_pa.high) == (12e3, 96e3)
    assert either.rating_index is None  # only the wet one has one


def test_a_cone_without_the_remould_test_says_nothing():
    ground = with_cone(GROUNDS["wet lean clay"], 200.0, None)
    assert ground.rating_index is None
    assert "not remoulded" in say(ground.told[-1])


def test_readings_are_marked_as_measured():
    cone = with_cone(unknown_ground(), 49.0, 0.87).rating_index
    assert cone.basis is Basis.MEASURED
    assert cone.low < 49 * 0.87 < cone.high
    assert with_vane(unknown_ground(), 30e3).strength_pa.basis is Basis.MEASURED


@pytest.mark.parametrize("tests", [ThumbTest, BootTest])
def test_a_firmer_test_never_gives_a_softer_range(tests):
    spans = [with_test(unknown_ground(), test).strength_pa for test in tests]
    assert [span.low for span in spans] == sorted(span.low for span in spans)
    assert [span.high for span in spans] == sorted(span.high for span in spans)


def test_strength_classes_are_the_published_ones():
    """Caltrans Trenching and Shoring Manual, Table 3-3, halved and converted: 12, 24, 48, 96, 192 kPa between classes."""
    ends = [high for _, high in STRENGTH_CLASSES_PA.values()][:-1]
    assert ends == [12e3, 24e3, 48e3, 96e3, 192e3]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: ground_named("mud"),
        lambda: ground_named("lean clay", "soaked"),
        lambda: with_cone(unknown_ground(), 301.0, 0.8),
        lambda: with_vane(unknown_ground(), 0.0),
        lambda: with_test(GROUNDS["dry sand"], ThumbTest.DENTS),
        lambda: with_test(GROUNDS["hard rock"], BootTest.NO_PRINT),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(NotAllowedError):
        wrong()
