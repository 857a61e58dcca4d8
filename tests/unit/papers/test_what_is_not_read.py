"""Not read, unsafe, worn out, measure again, two figures: the same words on paper, screen, workbook and calendar.

The verdict is changed by hand (`half_looked`); every expected word is written out here.
"""

import inspect
import io
from dataclasses import replace

import icalendar
import openpyxl
import pytest
from rich.console import Console

from half_looked import APART, BOTH, DUE, ODD, PARTED, RUINS, UNSAFE, WORN, half_looked
from pitchline.judge import remarks as judge_remarks
from pitchline.judge.called import apart, counted_due, stakes_of
from pitchline.papers import names, words
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.rows import hours_axis
from pitchline.papers.screen import verdict_screen
from pitchline.papers.stop import next_stop, planned_stops
from pitchline.papers.story import boxes, call_said, story
from pitchline.papers.story_work import told_parted
from pitchline.papers.work_order import work_order_story
from pitchline.papers.workbook import workbook_xlsx
from pitchline.trade.calls import Call, Stake
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import HoursLeft
from pitchline.words.called import looked_said, machine_called, part_called
from said import written

UNREAD = Place(PartKind.LINK, Side.RIGHT)


@pytest.fixture
def half(excavator):
    return half_looked(excavator)


@pytest.fixture
def told(half):
    return story(half, UnitSystem.METRIC)


def plain(text):
    return text.replace(words.GAP, " ")


def part_at(verdict, place):
    return next(part for part in verdict.parts if part.place == place)


def cell(told, name, side):
    return next(row[side] for row in told["rows"] if plain(row["name"]) == name)


def shown(verdict, width):
    out = io.StringIO()
    Console(file=out, width=width, color_system=None).print(verdict_screen(verdict, UnitSystem.METRIC, width))
    return out.getvalue()


def test_a_part_not_read_has_no_call_no_band_and_its_age_in_grey(told):
    unread = cell(told, "link rail", "right")
    assert (unread["call"], unread["called"], unread["band"], unread["used"]) == ("unjudged", "not read", None, "")
    assert plain(unread["said"]).endswith(" h by age alone")


def test_a_part_that_was_read_but_has_no_limit_is_not_called_unread(half):
    chain = part_at(half, Place(PartKind.CHAIN, Side.LEFT))
    without = replace(chain.judged[0], status="no limit entered", to_limit=None, life_used=None)
    assert part_called(replace(chain, call=Call.UNJUDGED, judged=(without,), due=None)) == "no limit"


def test_hours_by_age_alone_count_nowhere(half):
    """Had the 18 unread parts two hours left, neither axis nor headline figures nor order would move."""
    soon = HoursLeft(1.0, 2.0, 3.0, 0.0)
    parts = tuple(replace(part, due=soon) if part.call is Call.UNJUDGED else part for part in half.parts)
    other = replace(half, parts=parts)
    assert counted_due(part_at(other, UNREAD)) is None
    assert hours_axis(other) == hours_axis(half)
    assert boxes(other) == boxes(half)
    late = HoursLeft(1e5, 2e5, 3e5, 0.0)
    far = tuple(replace(part, due=late) if part.call is Call.UNJUDGED else part for part in half.parts)
    assert hours_axis(replace(half, parts=far)) == hours_axis(half)


def test_headline_counts_only_parts_that_have_a_call(half):
    read = sum(
        part.call is not Call.UNJUDGED and any(j.status == "judged" for j in part.judged) for part in half.parts
    )
    assert f"soonest of the {read} parts read" in " ".join(map(plain, boxes(half)[0].lines))


@pytest.mark.parametrize(
    ("place", "words_said"),
    [
        (UNSAFE, "stop: unsafe"),
        (RUINS, "stop: ruins what is dearer"),
        (WORN, "book: worn out, works on at your cost"),
        (ODD, "book: measure again"),
        (DUE, "book: falls due"),
        (APART, "run"),
        (UNREAD, "not read"),
    ],
)
def test_each_call_says_which_it_is(half, place, words_said):
    assert part_called(part_at(half, place)) == words_said


def test_the_machine_says_the_gravest_it_is_about(half):
    assert stakes_of(half) == (Stake.UNSAFE, Stake.RUINS)
    assert (machine_called(half), call_said(half)) == ("stop: unsafe", "do not work it")
    safe = tuple(part for part in half.parts if part.place != UNSAFE)
    assert machine_called(replace(half, parts=safe)) == "stop: ruins what is dearer"
    worn = tuple(part for part in safe if part.place not in (RUINS, ODD, DUE))
    only_worn = replace(half, call=Call.BOOK, parts=worn)
    assert machine_called(only_worn) == "book: worn out, works on at your cost"
    assert call_said(only_worn).endswith("what is worn out works on at your cost")


def test_a_machine_too_little_was_looked_at_of_says_so(half):
    none = replace(half, call=Call.UNJUDGED, parts=(), next_due=None, looked_at=(18, 37))
    assert call_said(none) == "too little was looked at to call it"
    assert call_said(replace(none, looked_at=(35, 37))) == "2 of 37 parts not looked at"
    assert machine_called(none) == "not read"


def test_measure_again_tells_both_explanations_in_hours(half, told):
    assert plain(names.either_said(BOTH)) == "if it is right, about 300 h; if misread, about 5,900 h"
    odd = cell(told, "link rail", "left")
    assert (plain(odd["said"]), odd["band"]) == ("right: 300 h; misread: 5,900 h", None)
    job = next(job for job in told["jobs"] if job["called"] == "book: measure again")
    assert "If it is right, about 300 h; if misread, about 5,900 h." in plain(job["because"])
    measure = [job for job in half.jobs if job.stake is Stake.MEASURE]
    assert "(if it is right, about 300 h; if misread, about 5,900 h)" in plain(names.jobs_said(measure, half))


def test_both_explanations_are_not_said_twice(half):
    because = "If it is right, about 300 h; if misread, about 5,900 h."
    jobs = tuple(
        replace(job, because=written(because)) if job.stake is Stake.MEASURE else job for job in half.jobs
    )
    job = next(
        one for one in story(replace(half, jobs=jobs), UnitSystem.METRIC)["jobs"] if "measure" in one["called"]
    )
    assert job["because"] == because


def test_two_figures_of_life_used_only_where_they_part(half, told):
    shoes = part_at(half, APART).judged[0]
    used = round(shoes.life_used * 100)
    assert plain(words.life_used(part_at(half, APART))) == f"{used + 6} / {used} %"
    assert plain(words.both_used(shoes)) == f"{used + 6} % as read, {used} % as judged"
    assert any(f"Shoes, grouser height: left {used + 6} / {used} %." in plain(line) for line in told["parted"])
    assert any(line.endswith(PARTED) for line in told["parted"])
    near = replace(shoes, life_used=0.58, life_used_read=0.61)
    assert not apart(near)
    assert plain(words.both_used(near)) == "58 %"
    assert apart(replace(near, life_used_read=0.62))


def test_the_rulers_hours_stand_on_the_paper(told, half):
    assert any("at the rate so far" in plain(line) and "520 h" in plain(line) for line in told["parted"])
    band = cell(told, "shoes", "left")["band"]
    assert band["ruler"] == pytest.approx(523.0 / hours_axis(half).end_h)
    assert "at the rate so far 520 h" in plain(band["alt"])


def test_how_much_was_looked_at(half, told, text_of):
    looked, every = half.looked_at
    assert told["looked"] == f"{looked} of {every} parts looked at"
    assert f"{looked} of {every} parts looked at." in text_of(verdict_pdf(half))
    assert looked_said((0, 21)) == "none of 21 parts looked at"


@pytest.mark.parametrize("width", [60, 80, 100, 120])
def test_screen_says_it_whole_at_every_width(half, width):
    text = shown(half, width)
    assert "…" not in text
    assert "unj" not in text
    assert max(map(len, text.splitlines())) <= width
    for word in ("not read", "unsafe", "ruins", "worn out", "if misread"):
        assert word in " ".join(text.split()), word
    assert f"{half.looked_at[0]} of {half.looked_at[1]} parts looked at" in " ".join(text.split())


def test_paper_shows_figures_behind_calls_and_no_word_of_the_files(half, text_of):
    text = text_of(verdict_pdf(half))
    for word in ("stop: unsafe", "stop: ruins what is dearer", "book: worn out", "not read", "by age alone", "1)"):
        assert word in text, word
    assert "unjudged" not in text


def test_workbook_and_calendar_say_what_the_call_is_about(half):
    book = openpyxl.load_workbook(io.BytesIO(workbook_xlsx(half, planned_stops(half, None))))
    rows = [tuple(cell.value for cell in row)[1:4] for row in book["jobs"].iter_rows(min_row=2)]
    assert ("book", "worn out, works on at your cost", "replace") in rows
    about = {row[0].value: row[1].value for row in book["about"].iter_rows()}
    assert about["call"] == "stop: unsafe"
    assert about["looked at"] == f"{half.looked_at[0]} of {half.looked_at[1]} parts looked at"
    entries = icalendar.Calendar.from_ical(calendar_ics(half).ics).walk("VEVENT")
    assert any(str(one["summary"]).endswith("(book: worn out, works on at your cost, overdue)") for one in entries)
    assert any("if misread, about 5,900 h" in str(one["description"]) for one in entries)


def test_doubts_about_readings_do_not_wait_among_the_remarks(half):
    """The words are held elsewhere; here they stand where readings look wrong."""
    alike = (
        "8 bottom rollers read alike (154 mm, tread diameter): was each one measured? They count as one reading."
    )
    asked = replace(half, remarks=(written(alike), *half.remarks))
    told = story(asked, UnitSystem.METRIC)
    assert alike in told["suspicions"]
    assert alike not in told["remarks"]
    assert "was each one measured?" in " ".join(shown(asked, 100).split())


def test_the_core_says_what_the_papers_look_for():
    """A remark whose code was changed there would fall back among the others without a sound."""
    said = inspect.getsource(judge_remarks)
    for code in ("remark.read_alike", "remark.many_far_off", "remark.far_less_wear"):
        assert f'"{code}"' in said


def test_work_order_says_why_the_machine_must_not_work(half):
    stop = next_stop(half, None)
    told = work_order_story(half, stop, UnitSystem.METRIC)
    assert told["stopped"] == "stop: unsafe"
    assert {job["called"] for job in told["jobs"]} >= {"stop: unsafe", "book: worn out, works on at your cost"}


def test_verdicts_of_earlier_versions_read_as_they_did(excavator):
    """No stake, no looks, no age: nothing is said of them."""
    told = story(excavator, UnitSystem.METRIC)
    assert (told["called"], told["looked"], told["parted"]) == ("stop", "", [])
    assert told["call_said"] == "unsafe, or ruins what is dearer: do not work it"
    assert {side["called"] for row in told["rows"] for side in (row["left"], row["right"]) if side} == {
        "run",
        "book",
        "stop",
    }
    assert told_parted(excavator) == []


def test_life_used_is_of_what_somebody_read(excavator):
    """A bush of which one face was read at 40 %, and the other is 90 % used by age alone."""
    part = next(
        part for part in excavator.parts if part.call is Call.RUN and part.judged and part.judged[0].life_used
    )
    read = replace(part.judged[0], life_used=0.4, life_used_read=0.4, status="judged")
    other = replace(read, life_used=0.9, life_used_read=None, status="not read", reading=None)
    assert plain(words.life_used(replace(part, judged=(read, other)))) == "40 %"
    assert words.life_used(replace(part, judged=(other,))) == "unread"
