"""What is written reads back the same: machine files, sheets and price lists."""

import datetime as dt
import json
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pitchline.exchange.machine_file import machine_from_json, machine_json, machine_schema
from pitchline.exchange.prices_file import read_prices, write_prices
from pitchline.exchange.sheet import read_sheet, write_sheet
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.owning import Owning
from pitchline.money.prices import FIGURE_WORDS, ClassFigure, ClassOwning, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.bolts import asks_on_one
from pitchline.trade.calls import CallRule
from pitchline.trade.dossier import (
    Dossier,
    Event,
    KindLife,
    Limit,
    LineShape,
    PartEvent,
    PermittedRange,
    Utilisation,
)
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass, GroundMix, GroundSpan
from pitchline.trade.hours_seen import HoursSeen
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import (
    Layout,
    Machine,
    MachineKind,
    RunningGear,
    ShoeClass,
    SprocketGaps,
    TrackKind,
)
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role, measurands_of
from pitchline.trade.meter import MeterChange
from pitchline.trade.parts import PARTS, PartKind, Place
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.units import UnitSystem, parse_length
from pitchline.words.names import named, several

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
QUICKER = settings(QUICK, max_examples=25)

texts = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Cn"), include_characters="=+-@\t\r\n';,\""), max_size=12
)
names = texts.filter(lambda text: text.strip() == text and text)
lengths = st.floats(0.001, 2.0)
hours = st.floats(0, 40_000)
days = st.dates(dt.date(2015, 1, 1), dt.date(2030, 1, 1))
typed_texts = st.builds(
    lambda amount, unit: f"{amount}{unit}",
    st.one_of(
        st.decimals(1, 999, places=2).map(str),
        st.integers(1, 999).map(str),
        st.sampled_from(["2 3/8", "148,5", "+7.25", "5/8"]),
    ),
    st.sampled_from(["", " mm", "mm", " cm", " in", '"']),
)
tools = st.builds(Tool, names.filter(lambda name: name != "unknown"), names, lengths, lengths, lengths)


@st.composite
def gears(draw):
    rollers = draw(st.integers(0, 9))
    return RunningGear(
        track=draw(st.sampled_from(TrackKind)),
        joints_per_side=draw(st.integers(20, 120)),
        pitch_m=draw(st.floats(0.03, 0.6)),
        shoe_width_m=draw(st.floats(0.1, 2.5)),
        sprocket_teeth=draw(st.integers(5, 60)),
        sprocket_gaps=draw(st.sampled_from(SprocketGaps)),
        bottom_rollers_per_side=rollers,
        upper_rollers_per_side=draw(st.integers(0, 3)),
        two_flange_rollers=tuple(draw(st.lists(st.integers(1, rollers), max_size=3))) if rollers else (),
        layout=draw(st.sampled_from(Layout)),
        shoe_class=draw(st.sampled_from(ShoeClass)),
        grousers_per_shoe=draw(st.integers(0, 3)),
        bolts_per_shoe=draw(st.integers(0, 6)),
        pads_per_shoe=draw(st.integers(0, 2)),
        bolts_per_pad=draw(st.integers(0, 4)),
        sprocket_segments=draw(st.integers(0, 9)),
        adjuster_stroke_m=draw(st.none() | lengths),
        guards=tuple(draw(st.lists(names, max_size=2))),
        slew_ring=draw(st.booleans()),
    )


@st.composite
def readings(draw, place, measurand, own_tools):
    typed = tuple(parse_length(text, "mm") for text in draw(st.lists(typed_texts, min_size=1, max_size=4)))
    bare = draw(st.booleans())
    known = [
        *(tool for name, tool in DEFAULT_TOOLS.items() if name not in {t.name for t in own_tools}),
        *own_tools,
    ]
    return Reading(
        place=place,
        measurand=measurand,
        repeats_m=tuple(draw(st.lists(lengths, min_size=1, max_size=4))) if bare else tuple(t.si for t in typed),
        tool=draw(st.sampled_from(known)),
        joints=draw(st.integers(1, 20)) if MEASURANDS[measurand].spans_joints else 1,
        typed=() if bare else typed,
        kept_because=draw(texts),
        extra_u_m=draw(st.just(0.0) | lengths),
    )


@st.composite
def walk_rounds(draw, gear, own_tools, day, service_h):
    read, seen = [], []
    for place in draw(st.lists(st.sampled_from(gear.places()), max_size=5, unique=True)):
        for measurand in measurands_of(place.part):
            read.append(draw(readings(place, measurand, own_tools)))
        kinds = [kind for kind in FindingKind if place.part in CONSEQUENCES[kind].parts]
        for kind in draw(st.lists(st.sampled_from(kinds), max_size=3)):
            count = draw(st.integers(1, 99))
            on_one = draw(st.sampled_from((None, True, False))) if asks_on_one(kind, place.part) else None
            seen.append(Finding(place, kind, draw(st.sampled_from(Severity)), count, draw(texts), on_one))
    empty = [place for place in gear.places() if place not in {finding.place for finding in seen}]
    looked = tuple(draw(st.lists(st.sampled_from(empty), max_size=4, unique=True)))
    return WalkRound(day, service_h, tuple(read), tuple(seen), draw(texts), draw(texts), looked)


@st.composite
def limits(draw, part, measurand):
    new, off = draw(st.floats(0.05, 0.5)), draw(st.floats(0.001, 0.04))
    limit = new - off if MEASURANDS[measurand].direction is Direction.FALLS else new + off
    return Limit(
        part=part,
        measurand=measurand,
        new_m=new,
        limit_m=draw(st.sampled_from([limit, None])),
        between=((0.5 * (new + limit), 0.4),) if draw(st.booleans()) else (),
        shape=draw(st.sampled_from(LineShape)),
        tip_width_m=draw(st.none() | lengths),
        root_width_m=draw(st.none() | lengths),
        u_new_m=draw(st.none() | lengths),
        turn_at=draw(st.floats(0.1, 0.9)),
        at_limit=draw(st.none() | st.sampled_from(JobKind)),
        source=draw(texts),
    )


def _events(place, service_h):
    whole_side = replace(place, position=0)
    return PartEvent(whole_side, Event.FITTED_NEW, service_h)


@st.composite
def dossiers(draw):
    gear = draw(gears())
    own = tuple(draw(st.lists(tools, max_size=2, unique_by=lambda tool: tool.name.casefold())))
    worn = [
        (part, each) for part in PartKind for each in measurands_of(part) if MEASURANDS[each].role is Role.WEAR
    ]
    dates = sorted(draw(st.lists(days, max_size=3, unique=True)))
    at_h = [draw(hours)] if dates else []
    for before, after in pairwise(dates):
        at_h.append(at_h[-1] + draw(st.floats(0, 1)) * 23.9 * (after - before).days)
    edges = sorted(draw(st.lists(hours, min_size=4, max_size=4, unique=True)))
    places = draw(st.lists(st.sampled_from(gear.places()), max_size=3))
    chosen = draw(st.lists(st.sampled_from(worn), max_size=4, unique=True))
    seen = zip(
        *(sorted(draw(st.lists(one, min_size=3, max_size=3, unique=True))) for one in (days, hours)), strict=True
    )
    changes = draw(
        st.lists(st.builds(MeterChange, days, hours, hours), max_size=2, unique_by=lambda each: each.date)
    )
    return Dossier(
        machine=Machine(
            draw(names),
            draw(names),
            draw(st.sampled_from(MachineKind)),
            draw(st.none() | st.floats(1, 900_000)),
            draw(texts),
        ),
        gear=gear,
        limits=tuple(draw(limits(*each)) for each in chosen),
        ranges=(PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.02, 0.02 + draw(lengths), draw(texts)),),
        kind_lives=tuple(
            draw(st.builds(KindLife, st.just(part), st.just(each), st.floats(10, 99_999), st.floats(0.1, 2)))
            for part, each in chosen
        ),
        events=tuple(_events(place, draw(hours)) for place in places),
        ground_spans=tuple(
            GroundSpan(edges[at], edges[at + 1], draw(st.sampled_from(GroundClass))) for at in (0, 2)
        ),
        usual_ground=draw(st.sampled_from(GroundClass)),
        walk_rounds=tuple(
            draw(walk_rounds(gear, own, day, service_h)) for day, service_h in zip(dates, at_h, strict=True)
        ),
        hours_seen=tuple(HoursSeen(*each) for each in seen),
        own_week=draw(st.booleans()),
        utilisation=draw(st.none() | st.just(Utilisation(10.0, draw(st.floats(10, 40)), 50))),
        call_rule=CallRule(draw(st.floats(1, 104)), draw(st.floats(0.01, 0.99)), draw(st.floats(0.01, 0.99))),
        meter_from_new=draw(st.booleans()),
        meter_changes=tuple(sorted(changes, key=lambda each: each.date)),
        tools=own,
        ground_entered=draw(st.booleans()),
        ground_to_come=draw(st.sampled_from((None, GroundMix((0.0, 0.25, 0.5, 0.25, 0.0))))),
    )


@given(dossiers())
@QUICK
def test_a_dossier_comes_back_from_its_machine_file_whole(dossier):
    assert machine_from_json(machine_json(dossier), "machine.json") == dossier


@pytest.fixture(scope="module")
def validator():
    from jsonschema import Draft202012Validator

    return Draft202012Validator(machine_schema())


@given(dossiers())
@QUICKER
def test_every_machine_file_written_fits_the_published_schema(validator, dossier):
    validator.validate(json.loads(machine_json(dossier)))


def _in_order(walk_round):
    return replace(
        walk_round,
        source="",
        readings=tuple(sorted(walk_round.readings, key=lambda each: (each.place, each.measurand))),
        findings=tuple(sorted(walk_round.findings, key=repr)),
        looked_over=tuple(sorted(walk_round.looked_over)),
    )


def _as_a_sheet_holds_it(walk_round):
    """A reading without text comes back with the text the sheet shows."""
    return replace(
        _in_order(walk_round),
        readings=tuple(replace(each, typed=()) for each in _in_order(walk_round).readings),
    )


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@given(dossier=dossiers(), units=st.sampled_from(UnitSystem))
@QUICKER
def test_a_walk_round_comes_back_from_its_sheet(tmp_path, suffix, dossier, units):
    path = tmp_path / f"sheet{suffix}"
    for walk_round in dossier.walk_rounds[:1]:
        alone = replace(dossier, walk_rounds=())
        write_sheet(alone, path, walk_round, units)
        back = read_sheet(path, alone)
        assert _as_a_sheet_holds_it(back) == _as_a_sheet_holds_it(walk_round)
        if all(reading.typed for reading in walk_round.readings) and units is UnitSystem.METRIC:
            assert _in_order(back) == _in_order(walk_round)


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@given(dossier=dossiers(), units=st.sampled_from(UnitSystem))
@QUICKER
def test_a_blank_sheet_that_only_got_its_head_reads_as_nothing_read(tmp_path, suffix, dossier, units):
    path = tmp_path / f"blank{suffix}"
    bare = replace(dossier, walk_rounds=(), meter_changes=())
    write_sheet(bare, path, WalkRound(dt.date(2026, 5, 31), 4210.0), units)
    back = read_sheet(path, bare)
    assert (back.date, back.service_h, back.readings, back.findings) == (dt.date(2026, 5, 31), 4210.0, (), ())


prices = st.floats(0, 1e6)
maybe = st.none() | prices


@st.composite
def stop_costs(draw):
    busy = draw(st.none() | prices)
    months = tuple(sorted(draw(st.sets(st.integers(1, 12), min_size=1)))) if busy is not None else ()
    costs = StopCosts(*(draw(maybe) for _ in range(4)), busy, months, draw(maybe))
    return None if costs == StopCosts() else costs


@st.composite
def machine_classes(draw):
    """Every machine and a few classes, none overlapping another of its rank."""
    ends = [None, *sorted(draw(st.sets(st.floats(1.0, 1e6), max_size=3))), None]
    kinds = [None, *draw(st.sets(st.sampled_from(MachineKind), max_size=2))]
    by_mass = [MachineClass(kind, low, high) for kind in kinds for low, high in pairwise(ends)]
    return sorted(
        {EVERY, *by_mass, *(MachineClass(gear=name) for name in draw(st.sets(names, max_size=2)))}, key=repr
    )


shares = st.floats(0, 1)


@st.composite
def owning_costs(draw):
    above = st.floats(1.0, 1e6)
    whole = (draw(above), draw(above), draw(st.floats(1.0, 8784.0)), 0.0, draw(shares), draw(prices), draw(shares))
    return Owning(*whole, draw(shares), 0.0, draw(prices), draw(prices))


@st.composite
def with_classes(draw, listed, classes):
    """The list with some of it for classes of machine of their own."""
    apart = [each for each in classes if each != EVERY]
    lines = [
        replace(line, which=which) for line in listed.lines for which in draw(st.sets(st.sampled_from(classes)))
    ]
    if not apart:
        return replace(listed, lines=tuple(lines))
    names = [
        name for name in FIGURE_WORDS if name != "busy_standing_per_h" or (listed.stop and listed.stop.busy_months)
    ]
    figures = [
        ClassFigure(name, draw(prices), which)
        for name in draw(st.sets(st.sampled_from(names)))
        for which in draw(st.sets(st.sampled_from(apart)))
    ]
    typed = {one.which for one in figures if one.name == "standing_per_h"}
    typed |= {EVERY} if listed.stop and listed.stop.standing_per_h is not None else set()
    free = [each for each in classes if each not in typed]
    owning = (
        [ClassOwning(draw(owning_costs()), which) for which in draw(st.sets(st.sampled_from(free)))]
        if free
        else []
    )
    return replace(
        listed,
        lines=tuple(lines),
        figures=tuple(figures),
        owning=tuple(sorted(owning, key=lambda one: one.which != EVERY)),
    )


@st.composite
def price_lists(draw):
    keys = draw(st.lists(st.tuples(st.sampled_from(JobKind), st.sampled_from(PartKind)), max_size=8, unique=True))
    lines = [
        PriceLine(
            job,
            part,
            *sorted(draw(st.tuples(prices, prices, prices))),
            draw(prices),
            draw(st.sampled_from(["each", "piece"])),
        )
        for job, part in keys
    ]
    currency = draw(st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=3, max_size=3))
    tax = draw(st.none() | st.floats(0, 1))
    listed = PriceList(currency, draw(prices), tuple(lines), draw(texts), tax, draw(stop_costs()))
    return draw(with_classes(listed, draw(machine_classes())))


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
@given(listed=price_lists())
@QUICK
def test_a_price_list_comes_back_whole(tmp_path, suffix, listed):
    path = tmp_path / f"prices{suffix}"
    write_prices(listed, path)
    assert read_prices(path) == listed


@given(st.sampled_from(list(PARTS)), st.data())
@QUICK
def test_words_and_keys_of_a_part_mean_the_same(part, data):
    from pitchline.exchange.words import part_of

    word = data.draw(st.sampled_from([part.value, named(part), several(part)]))
    shaped = data.draw(st.sampled_from([str, str.upper, str.title, lambda text: f"  {text} "]))
    assert part_of(shaped(word)) is part


def test_places_sort_so_that_order_can_be_ignored_above():
    assert Place(PartKind.CHAIN, "left") < Place(PartKind.CHAIN, "right")
