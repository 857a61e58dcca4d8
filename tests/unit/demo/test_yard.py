"""The demo yard shows every kind of machine and running gear, and says everywhere that it is invented."""

import datetime as dt
import math
from itertools import pairwise

import numpy as np
import pytest

from pitchline.demo.machines import RECIPES
from pitchline.demo.yard import Yard, build_yard
from pitchline.trade.dossier import Event
from pitchline.trade.findings import FindingKind, Severity
from pitchline.trade.machine import Layout, MachineKind, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.wear.line import wear_line
from pitchline.wear.plausibility import suspicions


def test_the_same_seed_gives_the_same_yard(yard: Yard) -> None:
    assert build_yard(1) == yard
    assert build_yard(2) != yard


@pytest.mark.parametrize("seed", range(2, 22))
def test_any_seed_gives_a_yard_whose_dossiers_take_their_sheets(seed: int) -> None:
    for machine in build_yard(seed).machines:
        assert machine.with_sheet.last_walk_round == machine.sheet


def test_at_least_fourteen_machines_of_every_kind_and_gear(yard: Yard) -> None:
    gears = [machine.dossier.gear for machine in yard.machines]
    assert len(yard.machines) >= 14
    assert [machine.number for machine in yard.machines] == list(range(1, len(yard.machines) + 1))
    assert {machine.dossier.machine.kind for machine in yard.machines} == set(MachineKind)
    assert {gear.track for gear in gears} == set(TrackKind)
    assert {gear.layout for gear in gears} == set(Layout)
    assert {gear.shoe_class for gear in gears} == set(ShoeClass)
    assert {gear.grousers_per_shoe for gear in gears if gear.has_grousers} == {1, 2, 3}
    assert {gear.sprocket_gaps for gear in gears if gear.has_chain} == set(SprocketGaps)
    for has in ("sprocket_segments", "guards", "slew_ring", "two_flange_rollers"):
        assert {bool(getattr(gear, has)) for gear in gears} == {True, False}
    masses_kg = [machine.dossier.machine.mass_kg or 0.0 for machine in yard.machines]
    assert min(masses_kg) < 3000
    assert max(masses_kg) >= 40000


def test_a_chain_is_as_long_as_wheels_and_span_need(yard: Yard) -> None:
    """Chain length less one turn round the sprocket leaves two runs of two to six sprocket diameters' length and more."""
    for machine in yard.machines:
        gear = machine.dossier.gear
        joint_gaps = 2 if gear.sprocket_gaps is SprocketGaps.EVERY_SECOND else 1
        wheel_m = gear.pitch_m / math.sin(joint_gaps * math.pi / gear.sprocket_teeth)
        span_m = (gear.joints_per_side * gear.pitch_m - math.pi * wheel_m) / 2
        assert 3 * wheel_m < span_m < 9 * wheel_m, machine.folder


def test_no_machine_has_the_sizes_of_a_real_one(yard: Yard) -> None:
    """Pitches, shoes and masses that makers share, from memory of the trade, stand nowhere in the yard."""
    inch_m = 0.0254
    pitches_mm = {101, 125, 135, 140, 154, 171, 175, 190, 203, 216, 228, 260, 280, 300, 317}
    for machine in yard.machines:
        gear, mass_kg = machine.dossier.gear, machine.dossier.machine.mass_kg or 0.0
        assert round(gear.pitch_m * 1000) not in pitches_mm | {48, 50, 52, 72, 86, 90}, machine.folder
        assert not (gear.shoe_width_m * 1000 + 1e-6) % 50 < 1e-3, machine.folder
        assert not (gear.shoe_width_m / inch_m + 1e-6) % 1 < 1e-3, machine.folder
        assert mass_kg % 500, machine.folder


def test_everything_says_that_it_is_invented(yard: Yard) -> None:
    assert "invented" in yard.prices.source
    for machine in yard.machines:
        known = machine.dossier
        assert "invented" in known.machine.note.lower()
        assert all("invented" in one.source for one in (*known.limits, *known.ranges))


def test_names_come_from_our_own_list_of_plants(yard: Yard) -> None:
    """A nickname is one of ours, and the words beside it hold only whole tonnes and trade words in small letters."""
    nicknames = [recipe.nickname for recipe in RECIPES]
    assert nicknames == sorted(nicknames)
    for machine, nickname in zip(yard.machines, nicknames, strict=True):
        name, _, words = machine.dossier.machine.name.partition(", ")
        assert name == nickname
        mass, tonnes, *rest = words.split()
        assert mass.isdigit()
        assert int(mass) == round((machine.dossier.machine.mass_kg or 0.0) / 1000)
        assert tonnes == "t"
        assert all(word.strip(",").isalpha() and word.islower() for word in rest)


def test_one_to_five_walk_rounds_in_2026(yard: Yard) -> None:
    counts = {len(machine.with_sheet.walk_rounds) for machine in yard.machines}
    assert counts == {1, 2, 3, 4, 5}
    for machine in yard.machines:
        assert dt.date(2026, 11, 1) <= machine.sheet.date <= dt.date(2026, 11, 30)
        assert all(one.date.year == 2026 for one in machine.with_sheet.walk_rounds)


def test_hours_between_walk_rounds_agree_with_hours_a_week(yard: Yard) -> None:
    for machine, recipe in zip(yard.machines, RECIPES, strict=True):
        low_h, _, high_h = recipe.week_h
        for before, after in pairwise(machine.with_sheet.walk_rounds):
            weeks = (after.date - before.date).days / 7
            assert low_h <= (after.service_h - before.service_h) / weeks <= high_h


def test_true_wear_rises_from_visit_to_visit_of_the_same_part(yard: Yard) -> None:
    compared = 0
    for machine in yard.machines:
        for path in machine.truth:
            visits = list(zip(path.at_h, path.life_used, path.fitted_h, strict=True))
            for (_, was, fitted_h), (_, is_now, still_h) in pairwise(visits):
                if fitted_h == still_h:
                    assert is_now >= was
                    compared += 1
    assert compared > 500


def test_readings_lie_within_what_a_tracked_machine_can_show(yard: Yard) -> None:
    for machine in yard.machines:
        for walk_round in machine.with_sheet.walk_rounds:
            for reading in walk_round.readings:
                words = MEASURANDS[reading.measurand]
                if not (machine.slip and reading.measurand is Measurand.PITCH):
                    assert words.least_m <= reading.value_m <= words.most_m, (machine.folder, reading)


def test_readings_are_true_within_their_tools(yard: Yard) -> None:
    """No reading but the planted slip is off by more than 5 repeatabilities and the tool's limit and step."""
    off = []
    for machine in yard.machines:
        truth = {(path.place, path.measurand): path for path in machine.truth}
        whole = {(one.part, one.measurand): one for one in machine.dossier.limits if one.limit_m is not None}
        for visit, walk_round in enumerate(machine.with_sheet.walk_rounds):
            for reading in walk_round.readings:
                limit = whole.get((reading.place.part, reading.measurand))
                if limit is not None:
                    path = truth[reading.place, reading.measurand]
                    true_m = float(wear_line(limit).size_m(np.array(path.life_used[visit])))
                    tool = reading.tool
                    allowed_m = (
                        5 * tool.repeatability_m + tool.permitted_error_m + tool.resolution_m
                    ) / reading.joints
                    if abs(reading.value_m - true_m) > allowed_m:
                        off.append((machine.number, visit, reading.place, reading.measurand))
    assert off == [(10, 2, Place(PartKind.CHAIN, Side.LEFT), Measurand.PITCH)]


def test_the_planted_slip_is_named_and_found_out(yard: Yard) -> None:
    assert [machine.number for machine in yard.machines if machine.slip] == [10]
    machine = yard.machine(10)
    held = [one for one in suspicions(machine.with_sheet, machine.sheet) if one.held]
    assert [(one.reading.place, one.instead_joints) for one in held] == [(Place(PartKind.CHAIN, Side.LEFT), 3)]


def test_no_other_reading_in_the_yard_is_held_back(yard: Yard) -> None:
    """Readings made with honest tools may look odd, and none looks impossible."""
    for machine in yard.machines:
        for walk_round in machine.with_sheet.walk_rounds:
            held = [one for one in suspicions(machine.with_sheet, walk_round) if one.held]
            assert not held or (machine.number == 10 and walk_round == machine.sheet)


def test_nothing_about_the_machine_to_begin_with_looks_wrong(yard: Yard) -> None:
    for walk_round in yard.main.with_sheet.walk_rounds:
        assert suspicions(yard.main.with_sheet, walk_round) == ()


def test_lengths_are_typed_in_millimetres_but_for_one_machine_in_inches(yard: Yard) -> None:
    units = {
        machine.number: {
            typed.unit
            for walk_round in machine.with_sheet.walk_rounds
            for reading in walk_round.readings
            for typed in reading.typed
        }
        for machine in yard.machines
    }
    assert [number for number, seen in units.items() if seen == {"in"}] == [6]
    assert all(seen == {"mm"} for number, seen in units.items() if number != 6)
    assert any("/" in typed.text for reading in yard.machine(6).sheet.readings for typed in reading.typed)
    assert any("," in typed.text for reading in yard.machine(3).sheet.readings for typed in reading.typed)


def test_gaps_in_what_the_yard_knows(yard: Yard) -> None:
    """No limit, no ground, no hours a week, a meter change, unknown fitting hours: each on one machine."""

    def numbers(*truths: bool) -> list[int]:
        return [number for number, true in enumerate(truths, 1) if true]

    known = [machine.dossier for machine in yard.machines]
    assert numbers(*(not one.ground_entered for one in known)) == [4]
    assert numbers(*(one.utilisation is None for one in known)) == [12]
    assert numbers(*(bool(one.meter_changes) for one in known)) == [13]
    assert numbers(*(not one.meter_from_new for one in known)) == [14]
    assert not known[13].events
    assert numbers(*(any(limit.assumed for limit in one.limits) for one in known)) == [16]
    no_limit = known[15].limit_of(PartKind.IDLER, Measurand.TREAD_DEPTH)
    assert no_limit is not None
    assert no_limit.limit_m is None


def test_the_meter_was_changed_between_two_walk_rounds(yard: Yard) -> None:
    changed = yard.machine(13).dossier
    (change,) = changed.meter_changes
    before, after = changed.walk_rounds
    assert before.date < change.date < after.date
    assert before.service_h < change.old_h < after.service_h


def test_histories_told(yard: Yard) -> None:
    """Bushes turned, rollers replaced as a set, tracks fitted part-worn, each written down before the newest sheet."""
    for number, part, event in (
        (5, PartKind.BUSH, Event.TURNED),
        (9, PartKind.BOTTOM_ROLLER, Event.FITTED_NEW),
        (15, PartKind.RUBBER_TRACK, Event.FITTED_PART_WORN),
    ):
        machine = yard.machine(number)
        sides = {
            one.place.side
            for one in machine.dossier.events
            if (one.place.part, one.place.position, one.event) == (part, 0, event)
        }
        assert sides == {Side.LEFT, Side.RIGHT}
        assert all(one.service_h < machine.sheet.service_h for one in machine.dossier.events)


def test_one_is_new_and_one_is_past_its_limits(yard: Yard) -> None:
    assert yard.machine(11).sheet.service_h < 50
    assert max(path.life_used[-1] for path in yard.machine(11).truth) < 0.1
    past = {path.place.part for path in yard.machine(8).truth if path.life_used[-1] > 1}
    assert {PartKind.BUSH, PartKind.LINK} <= past
    assert not yard.machine(1).dossier.walk_rounds


def test_the_machine_to_begin_with_tells_its_story(yard: Yard) -> None:
    """Bushes near turning, one roller leaking severely, shoes and rails with more than half their life to come."""
    main = yard.main
    assert len(main.with_sheet.walk_rounds) == 4
    now = {(path.place, path.measurand): path.life_used[-1] for path in main.truth}
    for side in (Side.LEFT, Side.RIGHT):
        assert 0.4 < now[Place(PartKind.BUSH, side), Measurand.BUSH_OD_FORWARD] < 0.5
        assert now[Place(PartKind.LINK, side), Measurand.RAIL_HEIGHT] < 0.45
        assert now[Place(PartKind.SHOE, side), Measurand.GROUSER_HEIGHT] < 0.45
    leaks = [one for one in main.sheet.findings if one.kind is FindingKind.LEAK]
    assert [(one.place.part, one.severity) for one in leaks] == [(PartKind.BOTTOM_ROLLER, Severity.SEVERE)]


def test_cord_shows_only_on_worn_rubber(yard: Yard) -> None:
    shown = 0
    for machine in yard.machines:
        lugs = {path.place: path.life_used[-1] for path in machine.truth if path.measurand is Measurand.LUG_HEIGHT}
        for finding in machine.sheet.findings:
            if finding.kind is FindingKind.CORD_SHOWING:
                assert lugs[finding.place] > 0.8
                shown += 1
    assert shown == 2
