"""Machines and the places of their running gear. The counts are those entered; which track has which parts is common practice."""

from collections import Counter
from dataclasses import replace

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, Machine, MachineKind, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words.names import named

P = PartKind
STEEL_PARTS = {P.CHAIN: 1, P.BUSH: 1, P.LINK: 1, P.SHOE: 1, P.SPROCKET: 1, P.TRACK_ADJUSTER: 1, P.FINAL_DRIVE: 1}


def per_side(gear):
    """How many places of each part stand on the left."""
    return Counter(place.part for place in gear.places() if place.side is Side.LEFT)


def test_steel_track(steel_gear):
    rest = {P.BOTTOM_ROLLER: 5, P.UPPER_ROLLER: 1, P.IDLER: 1, P.GUARD: 1}
    assert per_side(steel_gear) == STEEL_PARTS | rest


def test_pads_bolted_to_the_shoes_are_there_beside_the_shoes(steel_gear):
    found = per_side(replace(steel_gear, track=TrackKind.STEEL_BOLTED_PADS))
    assert (found[P.SHOE], found[P.PAD]) == (1, 1)


def test_pads_in_place_of_the_shoes(steel_gear):
    found = per_side(replace(steel_gear, track=TrackKind.STEEL_PAD_SHOES))
    assert (found[P.SHOE], found[P.PAD]) == (0, 1)


def test_a_rubber_track_has_no_chain(steel_gear):
    gear = replace(steel_gear, track=TrackKind.RUBBER)
    found = per_side(gear)
    assert found[P.RUBBER_TRACK] == 1
    assert not {P.CHAIN, P.BUSH, P.LINK, P.SHOE, P.PAD} & set(found)
    assert not gear.has_chain


def test_a_raised_sprocket_has_an_idler_at_each_end(steel_gear):
    gear = replace(steel_gear, layout=Layout.RAISED_SPROCKET)
    numbers = [place.position for place in gear.places() if place.part is P.IDLER and place.side is Side.LEFT]
    assert numbers == [1, 2]


def test_rollers_are_numbered_from_one(steel_gear):
    numbers = [p.position for p in steel_gear.places() if p.part is P.BOTTOM_ROLLER and p.side is Side.RIGHT]
    assert numbers == [1, 2, 3, 4, 5]


def test_left_and_right_have_the_same_places_and_each_stands_once(steel_gear):
    places = steel_gear.places()
    left = [(place.part, place.position) for place in places if place.side is Side.LEFT]
    right = [(place.part, place.position) for place in places if place.side is Side.RIGHT]
    assert left == right
    assert len(set(places)) == len(places)


def test_the_slew_ring_stands_once_without_side_where_there_is_one(steel_gear):
    ring = [place for place in steel_gear.places() if place.part is P.SLEW_RING]
    assert ring == [Place(P.SLEW_RING, Side.NONE)]
    assert all(place.part is not P.SLEW_RING for place in replace(steel_gear, slew_ring=False).places())


def test_no_guards_no_places_for_them(steel_gear):
    assert P.GUARD not in per_side(replace(steel_gear, guards=()))


@pytest.mark.parametrize("track", list(TrackKind))
def test_places_and_counts_agree(steel_gear, track):
    gear = replace(steel_gear, track=track)
    found = per_side(gear)
    for part in PartKind:
        if part is not P.SLEW_RING:
            assert found[part] == gear.count(part)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"joints_per_side": 19}, "joints per side"),
        ({"joints_per_side": 121}, "joints per side"),
        ({"pitch_m": 190.0}, "pitch [m]"),
        ({"pitch_m": float("nan")}, "pitch [m]"),
        ({"shoe_width_m": 0.0}, "shoe width [m]"),
        ({"sprocket_teeth": 4}, "sprocket teeth"),
        ({"bottom_rollers_per_side": -1, "two_flange_rollers": ()}, "bottom rollers per side"),
        ({"upper_rollers_per_side": 21}, "upper rollers per side"),
        ({"grousers_per_shoe": -1}, "grousers per shoe"),
        ({"bolts_per_shoe": -4}, "bolts per shoe"),
        ({"sprocket_segments": -1}, "sprocket segments"),
        ({"adjuster_stroke_m": 0.0}, "adjuster stroke [m]"),
        ({"adjuster_stroke_m": float("nan")}, "adjuster stroke [m]"),
        ({"two_flange_rollers": (6,)}, "two-flange rollers"),
        ({"two_flange_rollers": (0,)}, "two-flange rollers"),
    ],
)
def test_a_count_or_size_outside_its_range_is_refused_by_name(steel_gear, change, field):
    with pytest.raises(NotAllowedError) as caught:
        replace(steel_gear, **change)
    assert caught.value.problem.field == field
    assert caught.value.problem.next_step


def test_bounds_themselves_are_allowed(steel_gear):
    assert replace(steel_gear, joints_per_side=20).joints_per_side == 20
    assert replace(steel_gear, joints_per_side=120).joints_per_side == 120


@pytest.mark.parametrize(
    ("name", "mass_kg"), [("", 1000.0), ("  ", None), ("A", 0.0), ("A", -5.0), ("A", float("nan"))]
)
def test_a_machine_needs_a_name_and_a_mass_above_zero(name, mass_kg):
    with pytest.raises(NotAllowedError):
        Machine(name, "Number 1", MachineKind.PAVER, mass_kg)


def test_a_machine_may_have_no_known_mass():
    assert Machine("A", "Number 1", MachineKind.PAVER).mass_kg is None


def test_keys_and_labels_of_places():
    roller = Place(P.BOTTOM_ROLLER, Side.LEFT, 3)
    assert (roller.key, named(roller)) == ("bottom_roller/left/3", "bottom roller 3, left")
    ring = Place(P.SLEW_RING, Side.NONE)
    assert (ring.key, named(ring)) == ("slew_ring", "slew ring")


def test_every_kind_has_words_without_underscores():
    for word in (*MachineKind, *TrackKind):
        assert "_" not in named(word)
