import datetime as dt
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator, ValidationError

from pitchline.exchange import machine_file
from pitchline.exchange.machine_file import (
    machine_from_json,
    machine_json,
    machine_schema,
    read_machine,
    write_machine,
)
from pitchline.judge import judge
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call
from pitchline.trade.errors import InputError
from pitchline.trade.ground import GroundClass
from pitchline.trade.machine import MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import translated

PUBLISHED = Path(machine_file.__file__).with_name("machine-1.schema.json")
DATA = Path(__file__).parents[2] / "data"


def _read(entry):
    return machine_from_json(json.dumps(entry, indent=1), "m.json")


def test_lengths_and_masses_are_read_with_their_units(dossier):
    assert dossier.machine.kind is MachineKind.EXCAVATOR
    assert dossier.machine.mass_kg == 20300.0
    assert dossier.gear.pitch_m == pytest.approx(0.187)
    assert dossier.gear.shoe_width_m == pytest.approx(0.57)
    # 6 1/8 in x 25.4 mm (international yard and pound agreement, 1959) = 155.575 mm
    assert dossier.walk_rounds[0].readings[1].repeats_m[0] == pytest.approx(0.155575)


def test_texts_stay_as_typed(dossier):
    assert [typed.text for typed in dossier.walk_rounds[0].readings[0].typed] == ["764 mm", "764,5"]
    assert dossier.walk_rounds[0].readings[0].repeats_m == pytest.approx((0.764, 0.7645))


def test_service_hours_run_on_across_a_change_of_the_meter(dossier):
    # Definition: 5000 h on the old meter + 200 h on the new one.
    assert [walk_round.service_h for walk_round in dossier.walk_rounds] == [4800.0, 5200.0]
    assert dossier.events[0].service_h == 3000.0


def test_usual_ground_left_out_is_taken_as_medium_and_told(entry):
    del entry["ground"]["usual"]
    dossier = _read(entry)
    assert (dossier.usual_ground, dossier.ground_entered) == (GroundClass.MIDDLING, False)


def test_a_file_on_disk_comes_back_whole(dossier, tmp_path):
    write_machine(dossier, tmp_path / "m.json")
    assert read_machine(tmp_path / "m.json") == dossier
    assert [path.name for path in tmp_path.iterdir()] == ["m.json"]


def test_words_for_reading_are_taken_beside_the_keys(entry):
    entry["limits"][0] |= {"part": "Link rail", "measurand": "link rail height"}
    limit = _read(entry).limits[0]
    assert (limit.part, limit.measurand) == (PartKind.LINK, Measurand.RAIL_HEIGHT)


def test_the_schema_is_sound_and_names_itself(entry):
    schema = machine_schema()
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == "urn:pitchline:machine:1"
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_published_schema_is_the_one_of_now():
    """Whoever checks files against the published copy and whoever asks the shell for it are told the same."""
    assert json.loads(PUBLISHED.read_text("utf-8")) == machine_schema()


def test_what_tells_a_machine_from_another_of_its_name_comes_back(entry):
    entry["machine"] |= {"serial_number": "00417", "year_built": 2014, "owner_number": "7"}
    dossier = _read(entry)
    known = dossier.machine
    assert (known.serial_number, known.year_built, known.owner_number) == ("00417", 2014, "7")
    assert _read(json.loads(machine_json(dossier))) == dossier


def test_every_property_of_the_schema_is_described():
    for definition in machine_schema()["$defs"].values():
        for name, field in definition["properties"].items():
            assert field.get("description"), name


def test_a_file_by_hand_fits_the_schema_and_a_spoilt_one_does_not(entry):
    validator = Draft202012Validator(machine_schema())
    validator.validate(entry)
    entry["limits"][0]["new"] = "tall"
    assert not validator.is_valid(entry)


def test_what_is_written_says_its_format_first(dossier):
    assert machine_json(dossier).startswith('{\n  "format": "pitchline-machine/1"')


def _set(entry, path, value):
    for step in path[:-1]:
        entry = entry[step]
    entry[path[-1]] = value


R = ("walk_rounds", 0, "readings", 0)
F = ("walk_rounds", 0, "findings", 0)

SPOILT = [
    (("machine", "short_name"), " ", "machine, short_name", "nothing"),
    (("machine", "kind"), "excavater", "machine, kind", "excavater"),
    (("machine", "mass"), "-3 t", "mass", "-3 t"),
    (("machine", "year_built"), 1805, "machine, year_built", "1805"),
    (("machine", "mass"), True, "mass", "True"),
    (("machine", "mass"), 10**400, "mass", "1000"),
    (("running_gear", "joints_per_side"), 12, "joints per side", "12"),
    (("running_gear", "joints_per_side"), "49", "joints_per_side", "'49'"),
    (("running_gear", "joints_per_side"), True, "joints_per_side", "True"),
    (("running_gear", "pitch"), "190 furlongs", "pitch", "190 furlongs"),
    (("running_gear", "pitch"), float("nan"), "pitch", "nan"),
    (("running_gear", "pitch"), None, "pitch", "None"),
    (("running_gear", "two_flange_rollers"), [9], "two-flange rollers", "9"),
    (("hours", "per_week", "low"), 40, "hours a week", "40, 30, 45"),
    (("hours", "per_week", "low"), float("inf"), "low", "inf"),
    (("hours", "meter_changes", 0, "date"), "01/06/2025", "date", "01/06/2025"),
    (("ground", "usual"), "soft", "ground, usual", "soft"),
    (("ground", "spans", 0, "to_h"), 0, "ground span", "0 to 0 h"),
    (("limits", 0, "limit"), "107 mm", "limit", "107 mm"),
    (("limits", 1, "limit"), "180 mm", "limit", "180 mm"),
    (("limits", 0, "part"), "lnk", "part", "lnk"),
    (("limits", 0, "measurand"), "sag", "limit", "sag of link"),
    (("limits", 0, "new"), "1,000", "new", "1,000"),
    (("limits", 0, "new"), "1/" + "9" * 300, "new", "1/999"),
    (("ranges", 0, "most"), "10 mm", "range", "20 to 10 mm"),
    (("kind_lives", 0, "typical_life_h"), 2, "typical life", "2 h"),
    (("tools", 0, "permitted_error"), "-1 mm", "permitted_error_m", "-0.001"),
    (("history", 0, "what"), "turned", "history", "turned bottom roller, left"),
    (("history", 0, "position"), 9, "number", "9"),
    (("history", 0, "meter_h"), -4, "meter_h", "-4"),
    (("calls", "book_chance"), 1.5, "book chance", "1.5"),
    (("walk_rounds", 0, "date"), "2025-02-30", "date", "2025-02-30"),
    ((*R, "side"), "middle", "side", "middle"),
    ((*R, "side"), "", "side", "nothing"),
    ((*R, "position"), 2, "number", "2"),
    ((*R, "part"), "rubber_track", "part", "rubber track"),
    ((*R, "measurand"), "sagg", "measurand", "sagg"),
    ((*R, "over_joints"), 0, "over_joints", "0"),
    ((*R, "over_joints"), 50, "over_joints", "50"),
    ((*R, "read"), [], "pitch per joint", "nothing"),
    ((*R, "read"), ["-764 mm"], "pitch per joint", "-0.764"),
    ((*R, "read"), [True], "read, entry 1", "True"),
    ((*R, "read"), "764 mm", "read", "'764 mm'"),
    ((*R, "tool"), "tpae", "tool", "tpae"),
    ((*R, "kept_because"), "bell\x07", "kept_because", "character U+0007"),
    ((*R, "kept_because"), "half\ud800", "kept_because", "character U+D800"),
    ((*F, "seen"), "leek", "seen", "leek"),
    ((*F, "seen"), "dry_joint", "finding", "dry joint on bottom roller 2, right"),
    ((*F, "how_bad"), "awful", "how_bad", "awful"),
    ((*F, "count"), 0, "count", "0"),
    ((*F, "position"), 8, "number", "8"),
    (("walk_rounds",), 3, "walk_rounds", "3"),
    (("limits",), {"a": 1}, "limits", "{'a': 1}"),
    (("machine",), None, "machine", "None"),
    (("hours",), [], "hours", "[]"),
    (("ground",), "wet", "ground", "'wet'"),
    (("$schema",), {}, "$schema", "{}"),
    (("walk_rounds", 0, "date"), "9999-12-31", "date", "9999-12-31"),
    (("$schema",), "x" * 5_001, "$schema", "5,001 characters"),
]


@pytest.mark.parametrize(("path", "value", "field", "seen"), SPOILT)
def test_one_wrong_value_gives_one_problem_that_names_it(entry, refused, path, value, field, seen):
    _set(entry, path, value)
    (problem,) = refused(_read, entry)
    assert translated(problem.field).endswith(field), problem
    assert translated(problem.seen).startswith(seen), problem
    assert problem.file == "m.json"
    assert problem.row is not None
    assert problem.allowed
    assert problem.next_step


def test_a_problem_stands_at_its_line(entry, refused):
    entry["limits"][1]["limit"] = "180 mm"
    lines = json.dumps(entry, indent=1).splitlines()
    (problem,) = refused(_read, entry)
    stands_in = lines[problem.row - 1 :]
    assert stands_in[0].strip() == "{"
    assert '"part": "chain"' in stands_in[1]


@pytest.mark.parametrize(
    ("path", "key", "near"),
    [
        (("machine",), "naem", "name"),
        (("running_gear",), "sprocket_tooth", "sprocket_teeth"),
        ((), "walkrounds", "walk_rounds"),
        ((*R,), "over_joint", "over_joints"),
        (("hours", "per_week"), "ususal", "usual"),
        (("hours", "meter_changes", 0), "old_hours", "old_h"),
        (("limits", 2, "between", 0), "life", "life_used"),
    ],
)
def test_an_unknown_key_is_refused_with_the_nearest_known_one(entry, refused, path, key, near):
    _set(entry, (*path, key), 1)
    (problem,) = refused(_read, entry)
    assert problem.seen == key
    assert problem.next_step == f"Did you mean {near!r}?"


@pytest.mark.parametrize("key", ["machine", "running_gear"])
def test_a_missing_section_is_named(entry, refused, key):
    del entry[key]
    (problem,) = refused(_read, entry)
    assert (problem.field, problem.seen) == (key, "nothing")


def test_every_problem_of_a_file_comes_at_once(entry, refused):
    entry["machine"]["kind"] = "ship"
    entry["limits"][0]["limit"] = "107 mm"
    entry["walk_rounds"][0]["date"] = "soon"
    entry["walk_rounds"][0]["readings"][0]["tool"] = "stick"
    entry["walk_rounds"][0]["findings"][0]["position"] = 8
    entry["colour"] = "red"
    problems = refused(_read, entry)
    assert {problem.seen for problem in problems} == {"ship", "107 mm", "soon", "stick", "8", "colour"}
    assert [problem.row for problem in problems] == sorted(problem.row for problem in problems)


def test_falling_hours_are_refused_without_a_change_of_the_meter(entry, refused):
    entry["hours"]["meter_changes"] = []
    (problem,) = refused(_read, entry)
    assert problem.seen == "200 h on 2025-09-01"
    assert "meter_changes" in problem.next_step


def test_walk_rounds_out_of_order_are_refused(entry, refused):
    entry["walk_rounds"][1] |= {"date": "2025-02-01", "meter_h": 4700}
    (problem,) = refused(_read, entry)
    assert (problem.field, problem.seen) == ("walk_rounds, entry 2, date", "2025-02-01")


def test_meter_changes_out_of_order_are_refused(entry, refused):
    entry["hours"]["meter_changes"].append({"date": "2025-01-01", "old_h": 0})
    (problem,) = refused(_read, entry)
    assert problem.seen == "2025-01-01"


def test_history_needs_a_day_where_the_meter_was_changed(entry, refused):
    del entry["history"][0]["date"]
    (problem,) = refused(_read, entry)
    assert problem.field.endswith("date")
    entry["hours"]["meter_changes"] = []
    entry["walk_rounds"].pop()
    assert _read(entry).events[0].service_h == 3000.0


def test_every_word_of_work_done_reads_back(entry):
    dossier = _read(entry)
    (work,) = dossier.work
    assert (work.date, work.service_h, work.seen_on) == (dt.date(2025, 4, 2), 4900.0, dt.date(2025, 3, 1))
    assert [(place.key, kind.value) for place, kind in work.put_right] == [("bottom_roller/left/2", "leak")]
    assert (work.spent.labour, work.spent.parts, work.spent.total) == (90.0, 140.5, 230.5)
    assert (work.reckoned.amount, work.reckoned.source) == (260.0, "verdict of 2025-03-01")
    assert work.readings[0].value_m == pytest.approx(0.155)
    again = json.loads(machine_json(dossier))["work_done"]
    assert machine_from_json(machine_json(dossier), "m.json") == dossier
    assert again[0].pop("service_h", None) or again[0].pop("meter_h") == 4900
    assert again[0]["cost"] == {"labour": 90, "parts": 140.5, "currency": "EUR"}


def test_a_file_without_work_done_reads_as_before(entry):
    del entry["work_done"]
    assert _read(entry).work == ()


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"what": "polished"}, "work_done, entry 1, what"),
        ({"what": "turned"}, "work_done, entry 1: what was done"),
        ({"places": []}, "work_done, entry 1: parts"),
        ({"places": [{"part": "bottom_roller", "side": "left", "position": 99}]}, "work_done, entry 1: number"),
        ({"cost": {"labour": -1, "currency": "EUR"}}, "work_done, entry 1, cost, labour"),
        ({"cost": {"parts": 1, "currency": "euro"}}, "work_done, entry 1, cost, currency"),
        ({"service_h": 4900}, "work_done, entry 1: meter_h"),
        ({"seen_on": "2025-04-03"}, "work_done, entry 1: day"),
        ({"painted": True}, "work_done, entry 1, painted"),
    ],
)
def test_work_that_cannot_be_is_told_at_its_entry(entry, refused, change, field):
    entry["work_done"][0] |= change
    assert [problem.field for problem in refused(_read, entry)] == [field]


def test_hours_are_stated_one_way_only(entry, refused):
    entry["walk_rounds"][0]["service_h"] = 4800
    del entry["history"][0]["meter_h"]
    assert {problem.seen for problem in refused(_read, entry)} == {"both", "nothing"}


@pytest.mark.parametrize("key", ["limits", "tools"])
def test_the_same_limit_or_tool_twice_is_refused(entry, refused, key):
    entry[key].append(entry[key][0])
    (problem,) = refused(_read, entry)
    assert problem.seen.endswith("again")


def test_a_duplicate_reading_is_refused(entry, refused):
    entry["walk_rounds"][0]["readings"].append(entry["walk_rounds"][0]["readings"][0])
    (problem,) = refused(_read, entry)
    assert translated(problem.seen) == "pitch per joint of chain, left again"


def test_overlapping_ground_spans_are_refused(entry, refused):
    entry["ground"]["spans"].append({"from_h": 1500, "to_h": 2500, "ground": "gentle"})
    (problem,) = refused(_read, entry)
    assert problem.seen == "0 to 2000 h and 1500 to 2500 h"


def test_broken_json_is_told_by_line_and_column(refused):
    (problem,) = refused(machine_from_json, '{\n "format": oops\n}', "m.json")
    assert problem.field == "JSON, line 2, column 12"
    assert problem.row == 2


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("[1, 2]", "a list"),
        ('{"format": "pitchline-machine/9"}', "pitchline-machine/9"),
        ("{}", "nothing"),
        ("[" * 100_000, "brackets"),
        ('{"format": ' + "9" * 5000 + "}", "brackets nested too deep, or a number with too many digits"),
    ],
)
def test_json_that_is_no_machine_file_is_refused(refused, text, seen):
    (problem,) = refused(machine_from_json, text, "m.json")
    assert problem.seen.startswith(seen)


def test_a_file_that_is_all_problems_is_given_up_on(entry, refused):
    entry["limits"] = [{}] * 100_000
    problems = refused(_read, entry)
    assert len(problems) == 1001
    assert problems[-1].seen == "1,000 problems"


def test_a_key_given_twice_is_refused(entry, refused):
    text = json.dumps(entry).replace('"short_name": "EX-07"', '"short_name": "EX-07", "short_name": "EX-08"')
    (problem,) = refused(machine_from_json, text, "m.json")
    assert problem.field == "short_name"


NAMED = [{"name": "peat", "share": 0.333}, {"name": "wet heavy clay", "share": 0.667}]


def test_named_grounds_are_read_and_written_the_same(entry):
    entry["ground"]["named"] = NAMED
    dossier = _read(entry)
    assert [(one.name, one.percent) for one in dossier.ground_mix] == [("peat", 33.3), ("wet heavy clay", 66.7)]
    assert json.loads(machine_json(dossier))["ground"]["named"] == NAMED
    assert machine_from_json(machine_json(dossier), "again") == dossier


@pytest.mark.parametrize("chain_type", ["dry", "sealed", "sealed_and_oiled"])
def test_chain_type_and_share_travelling_are_read_and_written_the_same(entry, chain_type):
    entry["running_gear"]["chain_type"], entry["hours"]["travelling"] = chain_type, 0.15
    dossier = _read(entry)
    assert (dossier.gear.chain_type, dossier.travel_share) == (chain_type, 0.15)
    written = json.loads(machine_json(dossier))
    assert (written["running_gear"]["chain_type"], written["hours"]["travelling"]) == (chain_type, 0.15)
    assert machine_from_json(machine_json(dossier), "again") == dossier


def test_chain_type_and_share_nobody_said_are_left_out(entry):
    dossier = _read(entry)
    assert (dossier.gear.chain_type, dossier.travel_share) == (None, None)
    written = machine_json(dossier)
    assert "chain_type" not in written
    assert "travelling" not in written


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ([{"name": "mud", "share": 1}], "mud"),
        ([{"name": "peat", "share": 0.6}], "100 % together"),
        ([{"name": "peat", "share": 0}, {"name": "gravel", "share": 1}], "share"),
        ([{"name": "peat", "share": 0.5}, {"name": "peat", "share": 0.5}], "each once"),
        ([{"name": "peat"}], "share"),
        ("peat", "list"),
    ],
)
def test_named_grounds_that_cannot_be_are_refused(entry, named, said):
    entry["ground"]["named"] = named
    with pytest.raises(InputError, match=said):
        _read(entry)


def test_an_asking_price_comes_back_and_may_be_left_out(entry):
    assert _read(entry).asking is None
    asked = _read(entry | {"asking_price": {"amount": 48000, "currency": "EUR"}})
    assert asked.asking == AskingPrice(48_000.0, "EUR")
    assert machine_from_json(machine_json(asked), "m.json") == asked
    assert "asking_price" not in machine_json(_read(entry))


@pytest.mark.parametrize(
    "asked", [{"amount": 0, "currency": "EUR"}, {"amount": 48000, "currency": "eur"}, {"amount": 48000}, 48000]
)
def test_what_is_no_asking_price_is_refused(entry, asked):
    with pytest.raises(InputError, match="asking_price"):
        _read(entry | {"asking_price": asked})
    with pytest.raises(ValidationError):
        Draft202012Validator(machine_schema()).validate(entry | {"asking_price": asked})


CARRIED = "last seen 10 Nov 2026, not looked over since"


def test_file_from_before_0_4_0_says_in_the_note_that_nobody_looked():
    """Written by that pitchline: an invented paver whose leak, on the right final drive, the desk carried over."""
    drive = Place(PartKind.FINAL_DRIVE, Side.RIGHT)
    dossier = read_machine(DATA / "machine-from-before-0.4.0.json")
    (leak,) = dossier.walk_rounds[-1].findings
    assert (leak.place, leak.note, leak.last_seen_on) == (drive, CARRIED, dt.date(2026, 11, 10))
    assert drive not in dossier.walk_rounds[-1].looked_at
    part = next(one for one in judge(dossier).parts if one.place == drive)
    assert (part.looked_at, part.call) == (False, Call.UNJUDGED)  # it was run, and may have got worse
    assert machine_from_json(machine_json(dossier), "m.json") == dossier


def test_a_persons_own_words_read_back_as_their_own(entry):
    """Somebody looked and typed what the desk would: the file says that no day is known, and the part counts as looked at."""
    place = {"part": "final_drive", "side": "left", "seen": "leak", "how_bad": "slight"}
    entry["walk_rounds"][-1]["findings"] = [place | {"last_seen_on": None, "note": CARRIED}]
    entry["walk_rounds"][-1].pop("looked_over", None)
    dossier = _read(entry)
    assert Place(PartKind.FINAL_DRIVE, Side.LEFT) in dossier.walk_rounds[-1].looked_at
    text = machine_json(dossier)
    assert '"last_seen_on": null' in text
    assert machine_from_json(text, "m.json") == dossier
    entry["walk_rounds"][-1]["findings"][0]["note"] = "drips"
    assert "last_seen_on" not in machine_json(_read(entry))


@pytest.mark.parametrize(
    ("note", "day"),
    [
        (f"drips; {CARRIED}", dt.date(2026, 11, 10)),
        (f"drips, {CARRIED}", None),
        (f"{CARRIED}.", None),
        (f"{CARRIED}\n", None),
        (CARRIED.upper(), None),
        (CARRIED.replace("10 Nov", "010 Nov"), None),
        (CARRIED.replace("10 Nov", "31 Nov"), None),
        (CARRIED.replace("10 Nov", "11/10"), None),
    ],
)
def test_only_the_desks_own_words_say_so(entry, note, day):
    place = {"part": "final_drive", "side": "left"}
    entry["walk_rounds"][-1]["findings"] = [place | {"seen": "leak", "how_bad": "slight", "note": note}]
    entry["walk_rounds"][-1].pop("looked_over", None)
    (leak,) = _read(entry).walk_rounds[-1].findings
    assert (leak.note, leak.last_seen_on) == (note, day)


def test_day_in_its_own_field_is_taken_whatever_the_note_says(entry):
    place = {"part": "final_drive", "side": "left", "last_seen_on": "2026-03-01"}
    entry["walk_rounds"][-1]["findings"] = [place | {"seen": "leak", "how_bad": "slight", "note": CARRIED}]
    entry["walk_rounds"][-1].pop("looked_over", None)
    assert _read(entry).walk_rounds[-1].findings[0].last_seen_on == dt.date(2026, 3, 1)


def test_an_assumed_limit_is_read_and_written_and_one_of_before_is_none(entry):
    rail = {"part": "link", "measurand": "rail_height", "new": "110 mm", "limit": "101.2 mm"}
    whole = entry | {"limits": [rail | {"assumed": True}]}
    read = machine_from_json(json.dumps(whole), "machine")
    assert read.limits[0].assumed
    assert json.loads(machine_json(read))["limits"][0]["assumed"] is True
    before = machine_from_json(json.dumps(entry | {"limits": [rail]}), "machine")
    assert not before.limits[0].assumed
    assert "assumed" not in json.loads(machine_json(before))["limits"][0]


def test_no_limit_is_assumed_for_what_is_unsafe(entry):
    ring = {
        "part": "rubber_track",
        "measurand": "guide_lug_width",
        "new": "40 mm",
        "limit": "30 mm",
        "assumed": True,
    }
    with pytest.raises(InputError, match="unsafe"):
        machine_from_json(json.dumps(entry | {"limits": [ring]}), "machine")
