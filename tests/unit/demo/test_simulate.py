"""Made-up wear only rises, follows its ground, and starts again when a part is renewed."""

import math

import numpy as np
import pytest

from pitchline.demo.simulate import GROUND_LOG_RATE, LIVES_H, Habits, TrueWear, simulate_wear
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.ground import GroundClass
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

LINK = Place(PartKind.LINK, Side.LEFT)
BUSH = Place(PartKind.BUSH, Side.LEFT)
FACES = [(BUSH, Measurand.BUSH_OD_FORWARD), (BUSH, Measurand.BUSH_OD_REVERSE)]
RAILS = [(Place(PartKind.LINK, side), Measurand.RAIL_HEIGHT) for side in (Side.LEFT, Side.RIGHT)]
VISITS_H = tuple(float(hours) for hours in range(500, 4001, 500))
NEVER = Habits(replaces_at=math.inf)


def rates(path: TrueWear) -> np.ndarray:
    return np.diff(path.life_used)


@pytest.mark.parametrize("seed", range(20))
def test_wear_only_rises_while_nothing_is_renewed(seed: int) -> None:
    paths, events = simulate_wear(
        np.random.default_rng(seed), [*FACES, *RAILS], VISITS_H, lambda _: GroundClass.SHARP, NEVER
    )
    assert events == ()
    for path in paths:
        assert (rates(path) >= 0).all()
        assert path.life_used[-1] > path.life_used[0]


def test_mean_wear_is_hours_over_life() -> None:
    """On middling ground without spreads the mean of many links is the chosen rate (law of large numbers)."""
    links = [
        (Place(PartKind.BOTTOM_ROLLER, Side.LEFT, number), Measurand.TREAD_DIAMETER) for number in range(1, 401)
    ]
    habits = Habits(machine_effect=0.0, part_spread=0.0, replaces_at=math.inf)
    paths, _ = simulate_wear(np.random.default_rng(3), links, (3000.0,), lambda _: GroundClass.MIDDLING, habits)
    mean = 3000.0 / LIVES_H[PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER]
    worn = [path.life_used[0] for path in paths]
    spread = math.sqrt(0.004 * mean + 0.02**2)
    assert np.mean(worn) == pytest.approx(mean, abs=4 * spread / 20)
    assert np.std(worn) == pytest.approx(spread, rel=0.15)


def test_harsher_ground_wears_faster() -> None:
    assert [GROUND_LOG_RATE[ground] for ground in GroundClass] == sorted(GROUND_LOG_RATE.values())
    worn = [
        simulate_wear(np.random.default_rng(1), RAILS, (3000.0,), lambda _, g=ground: g, NEVER)[0][0].life_used[0]
        for ground in GroundClass
    ]
    assert worn == sorted(worn)


def test_a_renewed_chain_is_renewed_whole_and_on_both_sides() -> None:
    both = (Side.LEFT, Side.RIGHT)
    quantities = [
        *RAILS,
        *((Place(PartKind.BUSH, side), Measurand.BUSH_OD_FORWARD) for side in both),
        *((Place(PartKind.SPROCKET, side), Measurand.ROOT_DIAMETER) for side in both),
    ]
    paths, events = simulate_wear(
        np.random.default_rng(1), quantities, (2000.0, 9000.0), lambda _: GroundClass.MIDDLING, Habits()
    )
    first = {event.place for event in events if event.service_h == events[0].service_h}
    assert first == {place for place, _ in quantities}
    assert all(event.event is Event.FITTED_NEW for event in events)
    assert all(path.life_used[1] < 1 and path.fitted_h[1] >= events[0].service_h for path in paths)


def test_a_wheel_is_renewed_alone() -> None:
    rollers = [(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, n), Measurand.TREAD_DIAMETER) for n in (1, 2, 3)]
    _, events = simulate_wear(
        np.random.default_rng(2), rollers, (9000.0,), lambda _: GroundClass.MIDDLING, Habits(machine_effect=0.1)
    )
    assert events
    assert len({(event.place, event.service_h) for event in events}) == len(events)
    assert len({event.service_h for event in events}) > 1


def test_turned_bushes_change_faces() -> None:
    turn = PartEvent(BUSH, Event.TURNED, 2000.0)
    (forward, reverse), _ = simulate_wear(
        np.random.default_rng(1), FACES, (2000.0, 2000.5), lambda _: GroundClass.MIDDLING, NEVER, (turn,)
    )
    assert forward.life_used[0] > reverse.life_used[0]
    assert forward.life_used[1] == pytest.approx(reverse.life_used[0], abs=0.02)
    assert reverse.life_used[1] == pytest.approx(forward.life_used[0], abs=0.02)
    assert forward.fitted_h == (0.0, 2000.0)


def test_a_part_fitted_part_worn_starts_worn() -> None:
    event = PartEvent(LINK, Event.FITTED_PART_WORN, 1000.0)
    (path,), _ = simulate_wear(
        np.random.default_rng(1),
        [(LINK, Measurand.RAIL_HEIGHT)],
        (999.0, 1001.0),
        lambda _: GroundClass.MIDDLING,
        NEVER,
        (event,),
        part_worn=0.5,
    )
    assert path.life_used[1] == pytest.approx(0.5, abs=0.1)
