"""Expected hours left, against expected hours as new."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from pitchline.judge.machine_by_day import known_by
from pitchline.outlook.expected import expected_part, life_left
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS

LEFT = Side.LEFT


def lefts(dossier):
    known = known_by(dossier, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), dossier.usual_ground)
    keys = [(part.life.place, part.life.measurand) for part in outlook.parts]
    return dict(zip(keys, life_left(outlook), strict=True)), outlook


SHOES = (Place(PartKind.SHOE, LEFT), Measurand.GROUSER_HEIGHT)
BUSH = (Place(PartKind.BUSH, LEFT), Measurand.BUSH_OD_FORWARD)


@pytest.mark.parametrize(("mean", "deviation"), [(0.3, 0.05), (0.98, 0.2), (1.4, 0.3), (-0.1, 0.1)])
def test_a_normal_held_between_nothing_and_all(mean, deviation):
    """Against scipy's own integration of the same normal."""
    wanted = stats.norm(mean, deviation).expect(
        lambda wear: np.clip(1 - wear, 0, 1), lb=mean - 9 * deviation, ub=mean + 9 * deviation
    )
    found = expected_part(np.array([mean]), np.array([deviation]), 1.0)[0]
    assert found == pytest.approx(wanted, abs=2e-6)


def test_evenly_worn_at_a_known_rate_the_share_left_is_the_wear_left(dossier):
    """A third worn leaves two thirds; the readings' doubt and the prior may move that a little."""
    left, _ = lefts(dossier)
    assert left[SHOES].usual == pytest.approx(0.67, abs=0.02)
    assert left[SHOES].cautious < left[SHOES].usual < left[SHOES].hopeful


def test_expected_hours_are_the_area_under_the_chance_of_lasting(dossier):
    """Mean of a life is the integral of its survival (textbook), here summed over the outlook's own chances."""
    left, outlook = lefts(dossier)
    number = next(n for n, part in enumerate(outlook.parts) if (part.life.place, part.life.measurand) == SHOES)
    hours = np.linspace(0, 60_000, 601)
    survival = 1 - outlook.limits.of([outlook.rows[number]]).chance(hours[None, :])[0]
    assert left[SHOES].hours_h == pytest.approx(np.trapezoid(survival, hours), rel=0.02)


def test_a_new_part_has_all_its_life_and_a_spent_one_none(worn):
    assert lefts(worn(0.02))[0][SHOES].usual > 0.95
    assert lefts(worn(1.25))[0][SHOES].usual < 0.02


def test_bushes_before_their_turn_keep_the_other_face(worn):
    """At a quarter of the first face, turned at half: (0.25 + 1) of 1.5 is left; past the limit the turn is lost."""
    assert lefts(worn(0.25))[0][BUSH].usual == pytest.approx(1.25 / 1.5, abs=0.03)
    assert lefts(worn(0.75))[0][BUSH].usual == pytest.approx(1.0 / 1.5, abs=0.03)
    assert lefts(worn(1.3))[0][BUSH].usual < 0.05


def by_depth_gauge(dossier):
    """The same machine, its bushes read on one face alone."""
    gauge = DEFAULT_TOOLS["depth_gauge"]
    rounds = tuple(
        replace(
            walk_round,
            readings=tuple(
                replace(one, tool=gauge) if one.place.part is PartKind.BUSH else one for one in walk_round.readings
            ),
        )
        for walk_round in dossier.walk_rounds
    )
    return replace(dossier, walk_rounds=rounds)


def test_turned_bushes_have_only_the_second_face(dossier):
    """Read with a depth gauge on the new face, so that no old flat is in the reading."""
    turned = PartEvent(Place(PartKind.BUSH, LEFT), Event.TURNED, 1_200.0)
    left, _ = lefts(by_depth_gauge(replace(dossier, events=(*dossier.events, turned))))
    assert left[BUSH].usual == pytest.approx((1 - 0.33) / 1.5, abs=0.06)


def test_more_wear_never_leaves_more_life(worn):
    shares = [lefts(worn(share))[0] for share in (0.2, 0.5, 0.8, 1.1)]
    for key in (SHOES, BUSH):
        usual = [left[key].usual for left in shares]
        assert usual == sorted(usual, reverse=True)
