"""What is told: calls, headline figures, cautions by number, why each figure once."""

from dataclasses import replace

import pytest

from pitchline.papers import words
from pitchline.papers.story import boxes, call_said, story
from pitchline.trade.calls import Call
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Money, Why
from said import written


def told(verdict):
    return story(verdict, UnitSystem.METRIC)


def plain(text):
    return text.replace(words.GAP, " ")


def test_the_headlines_of_a_machine_to_stop(excavator):
    due, now, window = boxes(excavator)
    assert plain(due.label) == "Falls due first: replace bottom roller 6, left"
    assert (plain(due.figure), due.lines[0]) == ("now", "before it works again")
    assert plain(due.lines[1]) == "soonest of the 32 parts read: 420 h"  # (0.5 - 0.42) x 5200 h = 416 h
    assert (plain(now.figure), plain(now.lines[0])) == ("EUR 640", "540 to 770")
    assert plain(now.lines[1]) == "replace bottom roller 6, left"
    assert plain(window.figure) == "EUR 4,150"
    assert "the booking window, 8 weeks" in plain(window.lines[1])
    assert "not priced" in plain(window.lines[-1])


def test_what_is_overdue_is_said_to_be_so_once(excavator):
    """No range that is reached already and no day to come stand beside it; a range that reaches on is told."""
    job = next(job for job in excavator.jobs if job.call is Call.BOOK and job.due is not None)
    gone = replace(job, due=replace(job.due, cautious=0.0, middle=0.0, hopeful=0.0))
    box = boxes(replace(excavator, jobs=(gone,)))[0]
    assert (box.figure, [plain(line) for line in box.lines]) == (
        "now, overdue",
        ["soonest of the 32 parts read: 420 h"],
    )
    (wheels,) = excavator.sets
    spent = replace(wheels, first=gone.due)
    assert plain(told(replace(excavator, sets=(spent,)))["sets"][0]).endswith("bottom rollers: now.")
    perhaps = replace(job, due=replace(job.due, cautious=0.0, middle=0.0, hopeful=300.0))
    assert "300 h" in plain(boxes(replace(excavator, jobs=(perhaps,)))[0].lines[0])


def test_money_is_nothing_not_priced_or_not_known(mini, all_stop, empty, all_run):
    assert plain(boxes(mini)[1].figure) == "EUR 0"
    assert [one.figure for one in boxes(all_stop)[1:]] == ["not priced", "not priced"]
    assert [one.figure for one in boxes(empty)] == ["not known", "not known", "not known"]
    assert boxes(replace(all_run, money_now=None))[1].figure == "nothing"


def test_money_without_a_range_says_one_figure(mini):
    sure = replace(mini, money_now=Money(5.0, 5.0, 5.0, "EUR"))
    assert boxes(sure)[1].lines == ("no part is called stop",)


def test_a_run_that_rests_on_nothing_says_so(empty, mini):
    assert "nothing could be judged" in call_said(empty)
    assert plain(call_said(mini)) == "work due within the next 300 h"


def test_a_part_without_a_figure_says_why(empty, excavator):
    rows = {row["name"]: row for row in told(empty)["rows"]}
    assert rows["chain"]["left"]["said"] == "not read"
    assert rows["final drive"]["left"]["said"] == "by eye only"
    no_limit = replace(excavator.parts[0].judged[0], status="no limit entered", life_used=None, to_limit=None)
    part = replace(excavator.parts[0], judged=(no_limit,), due=None)
    cell = told(replace(excavator, parts=(part, *excavator.parts[1:])))["rows"][0]["left"]
    assert (cell["said"], cell["band"], cell["used"]) == ("no limit entered", None, "")


def test_a_call_its_hours_do_not_explain_gets_a_note(excavator):
    slack = replace(excavator.parts[0], call=Call.BOOK, reason=written("The track is too slack: take it up."))
    notes = told(replace(excavator, parts=(slack, *excavator.parts[1:])))["notes"]
    assert notes[0]["said"] == "The track is too slack: take it up."
    assert (notes[0]["mark"], notes[0]["place"], notes[0]["call"]) == ("1)", "chain, left", "book")


def test_findings_carry_the_figure_of_their_part(excavator):
    """Figures, never letters: a letter behind a call reads as a grade."""
    story = told(excavator)
    marks = {seen["mark"]: plain(seen["place"]) for seen in story["notes"]}
    assert marks == {"1)": "bottom roller 6, left", "2)": "shoes, right", "3)": "final drive, right"}
    noted = [
        (row["name"], side) for row in story["rows"] for side in ("left", "right") if (row[side] or {}).get("note")
    ]
    assert [(plain(name), side) for name, side in noted] == [
        ("shoes", "right"),
        ("bottom roller 6", "left"),
        ("final drive", "right"),
    ]


def test_a_caution_is_told_in_full_once_and_by_number_after(excavator):
    texts, numbers = [], {}
    for job, said in zip(excavator.jobs, told(excavator)["jobs"], strict=True):
        assert len(said["cautions"]) == len(job.cautions)
        for caution in said["cautions"]:
            texts += [caution["text"]] if caution["text"] else []
            assert numbers.setdefault(caution["number"], caution["title"]) == caution["title"]
    assert len(texts) == len(set(texts)) == len(numbers)


def test_why_says_each_thing_once_with_the_parts_it_differs_for(excavator):
    why = {line["what"]: line["said"] for line in told(excavator)["why"]}
    assert why["Ground"] == "middling now, sharp from 5,200 h to 6,100 h"
    assert why["Typical life"].count("on middling ground") == 1
    assert "4,800 h (sprocket)" in why["Typical life"]


def test_numbers_alone_only_where_the_words_are_the_same(excavator):
    judged = replace(
        excavator.parts[0].judged[0], why=(Why("start", written("fitted new at 10 h"), written("history")),)
    )
    other = replace(
        excavator.parts[1].judged[0],
        why=(Why("start", written("hours of fitting not known"), written("history")),),
    )
    parts = (replace(excavator.parts[0], judged=(judged,)), replace(excavator.parts[1], judged=(other,)))
    (line,) = told(replace(excavator, parts=parts))["why"]
    assert line["said"] == "hours of fitting not known (bushes); fitted new at 10 h (chain)"


@pytest.mark.parametrize("call", [Call.RUN, Call.BOOK, Call.STOP])
def test_when_a_job_is_due(excavator, call):
    job = replace(excavator.jobs[3], call=call)
    (said,) = told(replace(excavator, jobs=(job,)))["jobs"]
    assert plain(said["when"]) == ("before it works again" if call is Call.STOP else "in 1,650 h")
    (unknown,) = told(replace(excavator, jobs=(replace(job, due=None),)))["jobs"]
    assert (
        plain(unknown["when"])
        == {
            Call.STOP: "before it works again",
            Call.BOOK: "book it now",
            Call.RUN: "when next at it",
        }[call]
    )


def test_rollers_not_all_read_carry_their_numbers(excavator):
    parts = tuple(
        part
        for part in excavator.parts
        if not (part.place.part.value == "bottom_roller" and part.place.position in (2, 5, 6, 7))
    )
    row = next(row for row in told(replace(excavator, parts=parts))["read"] if "bottom" in row["part"])
    assert plain(row["left"]["typed"]).startswith("(1) ")
    assert plain(row["left"]["typed"]).count("mm") == 1
    assert plain(row["part"]) == "bottom rollers 1, 3, 4 and 8"
