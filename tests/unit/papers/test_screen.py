"""The terminal screen: the same story, plain text, one screen."""

import io
import re
from dataclasses import replace

import pytest
from rich.console import Console

from pitchline.papers import words
from pitchline.papers.rows import SpanBar
from pitchline.papers.screen import bar_said, verdict_screen
from pitchline.papers.story import boxes
from pitchline.trade.units import UnitSystem

SAMPLES = ("excavator", "mini", "empty", "all_run", "all_stop", "long_machine")


@pytest.fixture(params=SAMPLES)
def verdict(request):
    return request.getfixturevalue(request.param)


def shown(verdict, width=100):
    out = io.StringIO()
    Console(file=out, width=width, color_system=None).print(verdict_screen(verdict, UnitSystem.METRIC, width))
    return out.getvalue()


def test_it_fits_one_screen_of_a_hundred_columns(verdict):
    lines = shown(verdict).splitlines()
    assert max(map(len, lines)) <= 100
    assert len(lines) <= 50


def test_it_carries_no_escape_codes_and_no_tied_spaces(verdict):
    text = shown(verdict)
    assert "\x1b" not in text
    assert words.GAP not in text


def test_the_headline_figures_are_those_of_the_paper(verdict):
    text = shown(verdict)
    for one in boxes(verdict):
        assert one.figure.replace(words.GAP, " ") in text


def test_every_call_has_a_word_and_a_mark(excavator):
    text = shown(excavator)
    assert "[#] stop" in text
    assert "[/] book" in text
    assert "[ ] run" in text


def test_rollers_that_run_share_a_line_and_the_others_do_not(excavator):
    lines = shown(excavator).splitlines()
    (six,) = [line for line in lines if line.startswith("bottom roller 6")]
    assert "[#] stop" in six
    assert any(line.startswith("bottom rollers 1-5, 7, 8") for line in lines)


def test_a_pressing_job_is_never_left_out(excavator):
    later = (excavator.jobs[3],) * 12
    text = shown(replace(excavator, jobs=(*later, excavator.jobs[1])))
    assert "13 [/] book  Turn bushes, both sides" in text
    assert "6 later jobs on the paper." in text


def test_jobs_with_price_cautions_and_remarks_are_told(excavator):
    text = " ".join(shown(excavator).split())
    assert re.search(r"1 \[#\] stop Replace bottom roller 6, left before it works again ! [1-9, -]+ EUR 640", text)
    assert "Cautions, in full on the paper: 1 grease under pressure, 2 raised machine, 3 moving track" in text
    assert "1 reading that looks wrong, 2 remarks and 2 things not priced" in text
    assert words.WORKING_AID in text


@pytest.mark.parametrize("width", [40, 60, 80, 95, 100, 160])
def test_no_line_is_wider_than_the_terminal(excavator, long_machine, width):
    for verdict in (excavator, long_machine):
        assert max(map(len, shown(verdict, width).splitlines())) <= width


def test_markup_in_a_name_is_printed_as_it_is(excavator):
    machine = replace(excavator.machine, name="[bold red]x[/] \\[a]\nb")
    assert "[bold red]x[/] \\[a] b" in shown(replace(excavator, machine=machine))


@pytest.mark.parametrize(
    ("band", "bar"),
    [
        (SpanBar(0.0, 0.5, 1.0, False, False), "(----|----)"),
        (SpanBar(0.0, 0.5, 1.0, True, False), "(----|---->"),
        (SpanBar(1.0, 1.0, 1.0, True, True), "..........>"),
        (SpanBar(0.0, 0.0, 0.0, False, False), "|.........."),
    ],
)
def test_a_band_in_characters(band, bar):
    assert bar_said(band, 11) == bar
