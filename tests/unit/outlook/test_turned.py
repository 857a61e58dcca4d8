"""Turned bushes against a bar drawn point by point: what two parallel jaws read off it, and what is made of that."""

import datetime as dt
import math
from dataclasses import replace

import numpy as np
import pytest

from pitchline.exchange.sheet import read_sheet, sheet_rows, write_sheet
from pitchline.judge import judge
from pitchline.outlook.lives import lives_of
from pitchline.papers.sheet_paper import sheet_story
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import WalkRound
from pitchline.trade.units import UnitSystem
from pitchline.words import say
from pitchline.words.how_read import HOW_TURNED

LEFT, RIGHT = Side.LEFT, Side.RIGHT
BUSH, CHAIN = Place(PartKind.BUSH, LEFT), Place(PartKind.CHAIN, LEFT)
NEW_MM, LIMIT_MM = 60.0, 54.0
OLD_MM = 3.0  # half of the allowance: where bushes are turned, common practice, no source
TURNED_H, AFTER_H = 3000.0, 3010.0


def jaws_mm(old_mm, new_mm, off_degrees=0.0):
    """What parallel jaws read across a round bar with two flats opposite each other, from its outline alone."""
    at = np.radians(np.arange(0.0, 360.0, 0.05))
    radius = NEW_MM / 2
    x, y = radius * np.cos(at), radius * np.sin(at)
    x = np.clip(x, -(radius - old_mm), radius - new_mm)
    way = math.radians(off_degrees)
    along = x * math.cos(way) + y * math.sin(way)
    return float(along.max() - along.min())


@pytest.fixture
def turned(dossier, reading):
    """The invented machine with its left bushes turned at 3,000 h, read half worn then and once more soon after."""

    def make(after_mm, tool, before_mm=NEW_MM - OLD_MM, pitch_mm=None):
        pitches = [
            reading(PartKind.CHAIN, LEFT, Measurand.PITCH, one, joints=4, tool="tape") for one in pitch_mm or ()
        ]
        at_turn = [reading(PartKind.BUSH, LEFT, Measurand.BUSH_OD_FORWARD, before_mm)] if before_mm else []
        later = [reading(PartKind.BUSH, LEFT, Measurand.BUSH_OD_FORWARD, after_mm, tool=tool)]
        first = WalkRound(dt.date(2026, 1, 5), TURNED_H, (*at_turn, *pitches[:1]))
        last = WalkRound(dt.date(2026, 3, 2), AFTER_H, (*later, *pitches[1:]))
        event = PartEvent(BUSH, Event.TURNED, TURNED_H)
        fitted = [PartEvent(Place(PartKind.CHAIN, side), Event.FITTED_NEW, 0.0) for side in (LEFT, RIGHT)]
        return replace(dossier, events=(*fitted, event), walk_rounds=(first, last), kind_lives=())

    return make


def newest(machine):
    lives = [
        life
        for life in lives_of(machine, AFTER_H).lives
        if life.place == BUSH and life.measurand is Measurand.BUSH_OD_FORWARD and life.now_fitted
    ]
    return lives[-1].traces[-1]


def test_jaws_across_the_thinnest_place_sit_on_both_flats():
    """The drawn bar says what the module's first lines say, and that the reading depends on where the jaws are put."""
    assert jaws_mm(OLD_MM, 0.0) == pytest.approx(NEW_MM - OLD_MM, abs=1e-3)
    assert jaws_mm(OLD_MM, 0.6) == pytest.approx(NEW_MM - OLD_MM - 0.6, abs=1e-3)
    assert NEW_MM - OLD_MM < jaws_mm(OLD_MM, 0.0, 10.0) < jaws_mm(OLD_MM, 0.0, 20.0) < NEW_MM


@pytest.mark.parametrize("worn_mm", [0.0, 0.6, 2.4])
def test_across_both_flats_the_old_one_is_taken_off(turned, worn_mm):
    trace = newest(turned(jaws_mm(OLD_MM, worn_mm), "across_flats"))
    assert trace.life_used == pytest.approx(worn_mm / (NEW_MM - LIMIT_MM), abs=1e-3)
    assert trace.as_read == pytest.approx((OLD_MM + worn_mm) / (NEW_MM - LIMIT_MM), abs=1e-3)


def test_one_face_alone_is_taken_as_read(turned):
    trace = newest(turned(NEW_MM - 0.6, "depth_gauge"))
    assert (trace.as_read, trace.life_used) == (None, pytest.approx(0.1, abs=1e-9))


@pytest.mark.parametrize("off_degrees", [0.0, 5.0, 10.0, 15.0, 20.0, 25.0])
def test_where_nobody_said_the_doubt_reaches_the_truth_wherever_the_jaws_sat(turned, off_degrees):
    """A new face of a bush turned at half its life: nothing is worn, whatever is read."""
    trace = newest(turned(jaws_mm(OLD_MM, 0.0, off_degrees), "calliper"))
    assert abs(trace.life_used - 0.0) <= 2 * trace.life_used_u
    assert not trace.how_said


def test_an_old_flat_nobody_read_is_that_of_the_turn_point_and_more_doubtful(turned):
    read, unread = (newest(turned(jaws_mm(OLD_MM, 0.6), "across_flats", before_mm=one)) for one in (57.0, None))
    assert unread.life_used == pytest.approx(read.life_used, abs=1e-3)
    assert unread.life_used_u > read.life_used_u


def work_on_bushes(machine):
    verdict = judge(machine)
    part = next(part for part in verdict.parts if part.place == BUSH)
    one = next(one for one in part.judged if one.measurand is Measurand.BUSH_OD_FORWARD)
    return part, one, verdict


def test_a_well_turned_bush_across_both_flats_runs(turned):
    part, one, _ = work_on_bushes(turned(jaws_mm(OLD_MM, 0.1), "across_flats"))
    assert part.call is Call.RUN
    assert one.life_used < 0.15
    assert any(why.what == "turned bushes" for why in one.why)


def test_a_bad_reading_nobody_explained_asks_for_work_with_both_meanings(turned):
    part, _, _ = work_on_bushes(turned(NEW_MM - 4.8, "calliper"))
    assert part.call.rank >= Call.BOOK.rank
    assert part.job is JobKind.MEASURE
    assert "80 % if it sat on the new face alone" in say(part.reason)
    assert "30 % if it sat on the old flat too" in say(part.reason)


@pytest.mark.parametrize("tool", ["across_flats", "depth_gauge", "calliper"])
def test_a_worse_reading_of_a_turned_bush_never_reads_better(turned, tool):
    """Life used never falls and the call never gets milder, from 10 to 130 % of the allowance as read."""
    told = []
    for used in np.arange(0.1, 1.31, 0.1):
        part, one, _ = work_on_bushes(turned(NEW_MM - used * (NEW_MM - LIMIT_MM), tool))
        told.append((used, newest(turned(NEW_MM - used * (NEW_MM - LIMIT_MM), tool)).life_used, part.call.rank))
        assert one.to_limit is not None
    used, read, calls = zip(*told, strict=True)
    assert list(read) == sorted(read)
    assert list(calls) == sorted(calls)


def test_the_reverse_face_read_before_a_turn_is_where_the_new_face_begins(turned, reading, steel_limits):
    """Half a turn brings it to the front: 20 % worn there is 20 % worn at the start."""
    machine = turned(NEW_MM - 1.2, "depth_gauge")
    reverse = replace(steel_limits[1], measurand=Measurand.BUSH_OD_REVERSE)
    first, _ = machine.walk_rounds
    seen = replace(
        first, readings=(*first.readings, reading(PartKind.BUSH, LEFT, Measurand.BUSH_OD_REVERSE, 58.8))
    )
    bare = replace(machine, limits=(*machine.limits, reverse), walk_rounds=(seen,))
    _, one, _ = work_on_bushes(bare)
    assert one.life_used == pytest.approx(0.2, abs=0.05)


def test_sheets_say_how_a_turned_bush_is_read(turned, tmp_path):
    machine = turned(57.0, "calliper")
    (how, *_) = [row.how for row in sheet_rows(machine) if row.measurand is Measurand.BUSH_OD_FORWARD]
    assert HOW_TURNED in how
    assert "Turned bushes (left)" in how
    story = sheet_story(sheet_rows(machine), machine, UnitSystem.METRIC)
    assert any(HOW_TURNED in one["text"] for one in story["how"])
    plain = replace(machine, events=())
    assert not any(HOW_TURNED in row.how for row in sheet_rows(plain))
    for name in ("sheet.csv", "sheet.xlsx"):
        path = tmp_path / name
        write_sheet(machine, path)
        write_sheet(plain, tmp_path / f"plain-{name}")
    text = (tmp_path / "sheet.csv").read_text()
    assert "across both flats" in text
    assert "across both flats" not in (tmp_path / "plain-sheet.csv").read_text()
    filled = text.replace("day,", "day,2026-05-01", 1).replace("hours on the meter,", "hours on the meter,3100", 1)
    (tmp_path / "filled.csv").write_text(filled)
    assert read_sheet(tmp_path / "filled.csv", machine).service_h == 3100.0


@pytest.mark.parametrize(("after_mm", "said"), [(812.0, True), (801.0, False)])
def test_a_pitch_that_did_not_come_back_with_the_turn_is_asked_about(turned, after_mm, said):
    """810 mm over four joints is 2.5 mm a joint on 200 mm, of 6 mm allowed: 42 % used before the turn."""
    verdict = judge(turned(NEW_MM, "depth_gauge", pitch_mm=(810.0, after_mm)))
    found = [one for one in map(say, verdict.remarks) if "did not come back with the turn" in one]
    assert bool(found) is said
    if said:
        assert "42 % before, 50 % at 3,010 h" in found[0]
