"""Whatever a file holds, a reader gives a result or an InputError, and nothing else."""

import copy
import datetime as dt
import json
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pitchline.exchange.machine_file import machine_from_json, machine_json, read_machine
from pitchline.exchange.prices_file import read_prices, write_prices
from pitchline.exchange.sheet import read_sheet, with_walk_rounds, write_sheet
from pitchline.money.prices import PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.dossier import Dossier, KindLife, Limit, PermittedRange
from pitchline.trade.errors import InputError, Problem
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.meter import MeterChange
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import parse_length

BOUNDED = settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
WORKBOOKS = settings(BOUNDED, max_examples=100)

GEAR = RunningGear(TrackKind.STEEL, 47, 0.187, 0.57, 25, SprocketGaps.EVERY_SECOND, 3, 1, slew_ring=True)
CHAIN, ROLLER = Place(PartKind.CHAIN, Side.LEFT), Place(PartKind.BOTTOM_ROLLER, Side.RIGHT, 2)
TYPED = parse_length("764,5 mm")
ROUND = WalkRound(
    dt.date(2026, 1, 10),
    4000.0,
    (Reading(CHAIN, Measurand.PITCH, (TYPED.si,), DEFAULT_TOOLS["tape"], 4, (TYPED,), "because", 0.001),),
    (Finding(ROLLER, FindingKind.LEAK, Severity.CLEAR, 2, "note"),),
    "A fitter",
)
DOSSIER = Dossier(
    Machine("EX-1", "Invented", MachineKind.EXCAVATOR, 20300.0),
    GEAR,
    limits=(Limit(PartKind.CHAIN, Measurand.PITCH, 0.187, 0.193, ((0.190, 0.4),)),),
    ranges=(PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.02, 0.04),),
    kind_lives=(KindLife(PartKind.CHAIN, Measurand.PITCH, 5000.0),),
    ground_spans=(GroundSpan(0, 100, GroundClass.SHARP),),
    walk_rounds=(ROUND,),
    meter_changes=(MeterChange(dt.date(2025, 1, 1), 100.0),),
    tools=(DEFAULT_TOOLS["tape"],),
)
BARE = Dossier(DOSSIER.machine, GEAR, meter_changes=DOSSIER.meter_changes)
LINE = PriceLine(JobKind.TURN, PartKind.BUSH, 1.0, 2.0, 3.0, 4.0)
PRICES = PriceList("EUR", 70.0, (LINE,), "invented", 0.075, StopCosts(380.0, 90.0, 1.0, 35.0, 70.0, (4, 5), 160.0))

values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.integers(10**300, 10**310)
    | st.text(max_size=8)
    | st.sampled_from(
        ["1/0 in", "9" * 50, "1e400", "2026-02-30", "\ud800", "left", "105 mm", "²", "٣ mm", "1,000"]
    ),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=4), inner, max_size=2),
    max_leaves=4,
)


def _spots(entry, path=()):
    """Every place inside a JSON value."""
    yield path
    steps = entry.items() if isinstance(entry, dict) else enumerate(entry) if isinstance(entry, list) else ()
    for step, inner in steps:
        yield from _spots(inner, (*path, step))


def _well_told(error, name):
    """Each problem is a Problem with every part filled and printable."""
    assert error.problems
    for problem in error.problems:
        assert isinstance(problem, Problem)
        assert problem.file == name
        assert problem.field
        assert problem.seen != ""
        assert problem.allowed
        assert problem.next_step
        str(problem).encode("utf-8")


def _read(call, name, *arguments):
    """What the reader gives, or None with its error checked."""
    try:
        return call(*arguments)
    except InputError as error:
        _well_told(error, name)
        return None


FILE = json.loads(machine_json(DOSSIER))
SPOTS = list(_spots(FILE))


@given(st.lists(st.tuples(st.sampled_from(SPOTS[1:]), values, st.booleans()), min_size=1, max_size=3))
@BOUNDED
def test_a_machine_file_with_entries_changed_or_added_gives_a_dossier_or_an_input_error(changes):
    entry = copy.deepcopy(FILE)
    for path, value, added in changes:
        holder = entry
        try:
            for step in path[:-1]:
                holder = holder[step]
            if added and isinstance(holder, dict):
                holder[str(value)[:10]] = value
            else:
                holder[path[-1]] = value
        except (KeyError, IndexError, TypeError):
            continue
    dossier = _read(machine_from_json, "m.json", json.dumps(entry), "m.json")
    if dossier is not None:
        assert machine_from_json(machine_json(dossier), "m.json") == dossier


edits = st.lists(
    st.tuples(
        st.sampled_from(["cut", "put", "double", "overwrite"]),
        st.floats(0, 1),
        st.integers(0, 20),
        st.binary(max_size=6) | st.sampled_from([b"\xff\xfe", b'"', b"\x00", b";", b"\n\n", b"nan", b"-", b"=1"]),
    ),
    min_size=1,
    max_size=4,
)


def _spoilt(raw, changes):
    """Bytes cut out, put in, doubled or overwritten."""
    raw = bytearray(raw)
    for kind, share, length, new in changes:
        at = int(share * len(raw))
        if kind == "cut":
            del raw[at : at + length]
        elif kind == "put":
            raw[at:at] = new
        elif kind == "double":
            raw[at:at] = raw[at : at + length]
        else:
            raw[at : at + len(new)] = new
    return bytes(raw)


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    """Good files of each kind, as bytes."""
    folder = tmp_path_factory.mktemp("good")
    for suffix in (".csv", ".xlsx"):
        write_sheet(BARE, folder / f"s{suffix}", ROUND)
        write_prices(PRICES, folder / f"p{suffix}")
    (folder / "m.json").write_text(machine_json(DOSSIER))
    return {path.name: path.read_bytes() for path in folder.iterdir()}


READERS = {
    "m.json": read_machine,
    "s.csv": lambda path: with_walk_rounds(BARE, [read_sheet(path, BARE)]),
    "s.xlsx": lambda path: read_sheet(path, BARE),
    "p.csv": read_prices,
    "p.xlsx": read_prices,
}


@pytest.mark.parametrize("name", list(READERS))
def test_the_files_to_be_spoilt_are_good(tmp_path, good, name):
    (tmp_path / name).write_bytes(good[name])
    assert READERS[name](tmp_path / name)


@pytest.mark.parametrize("name", ["m.json", "s.csv", "p.csv"])
@given(changes=edits)
@BOUNDED
def test_a_text_file_with_bytes_changed_gives_a_result_or_an_input_error(tmp_path, good, name, changes):
    path = tmp_path / name
    path.write_bytes(_spoilt(good[name], changes))
    _read(READERS[name], name, path)


@pytest.mark.parametrize("name", ["s.xlsx", "p.xlsx"])
@given(changes=edits)
@WORKBOOKS
def test_a_workbook_with_bytes_changed_gives_a_result_or_an_input_error(tmp_path, good, name, changes):
    path = tmp_path / name
    path.write_bytes(_spoilt(good[name], changes))
    _read(READERS[name], name, path)


@pytest.mark.parametrize("name", ["s.xlsx", "p.xlsx"])
@given(changes=edits, share=st.floats(0, 1, exclude_max=True))
@WORKBOOKS
def test_a_workbook_with_members_changed_gives_a_result_or_an_input_error(tmp_path, good, name, changes, share):
    """The archive stays whole, so the damage gets past the zip checks and into the XML."""
    import io
    import zipfile

    old = zipfile.ZipFile(io.BytesIO(good[name]))
    chosen = old.namelist()[int(share * len(old.namelist()))]
    path = tmp_path / name
    with zipfile.ZipFile(path, "w") as new:
        for member in old.namelist():
            content = old.read(member)
            new.writestr(member, _spoilt(content, changes) if member == chosen else content)
    _read(READERS[name], name, path)


@pytest.mark.parametrize("name", list(READERS))
@given(raw=st.binary(min_size=1, max_size=200))
@WORKBOOKS
def test_any_bytes_give_an_input_error(tmp_path, name, raw):
    path = tmp_path / name
    path.write_bytes(raw)
    assert _read(READERS[name], name, path) is None


cells = st.text(max_size=6) | st.sampled_from(
    [
        "left",
        "chain",
        "pitch",
        "764 mm",
        "4",
        "tape",
        "leak",
        "slight",
        "leak;leak",
        ";",
        "nan",
        "inf",
        "-1",
        "1/0",
        "²",
    ]
)
COLUMNS = (
    *("side", "part", "number", "quantity", "reading 1", "over joints", "tool"),
    *("seen", "how bad", "how many", "keep because", "note"),
)


@given(
    st.lists(st.lists(cells, min_size=12, max_size=12), max_size=4),
    st.just("2026-01-10") | cells,
    st.just("10") | cells,
)
@BOUNDED
def test_a_sheet_of_any_words_gives_a_walk_round_or_an_input_error(tmp_path, rows, date, meter):
    import csv

    path = tmp_path / "s.csv"
    with path.open("w", newline="", encoding="utf-8") as stream:
        head = [["machine", "EX-1"], ["date", date], ["meter hours", meter]]
        csv.writer(stream).writerows([*head, [], COLUMNS, *rows])
    walk_round = _read(read_sheet, "s.csv", path, BARE)
    if walk_round is not None:
        assert all(math.isfinite(each) for reading in walk_round.readings for each in reading.repeats_m)
