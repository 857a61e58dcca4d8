"""Sentences of a verdict that a fitter reads: one word for one thing, said once; our own wording."""

import re
from dataclasses import replace

import pytest

from pitchline.judge import judge
from pitchline.outlook.kinds import taken_for
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say


@pytest.fixture
def with_rollers(later, reading):
    """A factory: 40 % worn on a third walk-round, but for these left bottom rollers, tread diameter [mm] by number."""

    def make(sizes_mm):
        machine = later(0.40)
        last = machine.walk_rounds[-1]
        odd = [
            reading(PartKind.BOTTOM_ROLLER, Side.LEFT, Measurand.TREAD_DIAMETER, mm, mm, mm, position=number)
            for number, mm in sizes_mm.items()
        ]
        places = {one.place for one in odd}
        readings = (*(one for one in last.readings if one.place not in places), *odd)
        return judge(replace(machine, walk_rounds=(*machine.walk_rounds[:-1], replace(last, readings=readings))))

    return make


def hours(text):
    return [float(figure.replace(",", "")) for figure in re.findall(r"([\d,]+) h", text)]


def test_a_job_nobody_presses_for_tells_when_each_of_its_places_is_due(with_rollers):
    """One roller is due long before the others: "asks for it too" would have been said of parts that ask for nothing."""
    verdict = with_rollers({3: 150.5, 5: 152.0})
    job = next(
        one
        for one in verdict.jobs
        if one.part is PartKind.BOTTOM_ROLLER and one.kind is JobKind.REPLACE and one.call is Call.RUN
    )
    first, *others = hours(say(job.because))
    assert f"The other {len(job.places) - 1} in about" in say(job.because)
    assert first < min(others[:2])
    due = {
        part.place: part.due.middle
        for part in verdict.parts
        if part.place in job.places and part.place != Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
    }
    assert others[0] == pytest.approx(min(due.values()), rel=0.03)
    assert others[1] == pytest.approx(max(due.values()), rel=0.03)


def test_a_headline_names_a_job_on_a_kind_of_part_once(with_rollers):
    """One roller past its limit of 144 mm and one about to be: worn out and falling due are two jobs, and one order."""
    verdict = with_rollers({2: 142.5, 3: 144.2})
    booked = [one for one in verdict.jobs if one.call is Call.BOOK and one.part is PartKind.BOTTOM_ROLLER]
    assert {one.kind for one in booked} == {JobKind.REPLACE}
    assert len(booked) == 2
    assert say(verdict.headline).count("bottom roller") == 1
    assert "replace bottom rollers 2 and 3 left" in say(verdict.headline)


def test_parts_past_their_limit_are_not_said_to_be_beyond_the_sizes_entered(with_rollers):
    """Their call says it; a part read above new by more than twice its doubt is asked about."""
    past, larger = with_rollers({2: 141.0}), with_rollers({2: 161.6})
    assert not any("by the sizes entered" in said for said in map(say, past.remarks))
    assert any(
        "Read better than new by the sizes entered: bottom rollers" in said for said in map(say, larger.remarks)
    )


def test_a_machine_of_another_kind_is_said_in_english(dossier):
    other = replace(dossier, machine=replace(dossier.machine, kind=MachineKind.OTHER_TRACKED))
    assert say(taken_for(other)).startswith("a tracked machine of another kind taken to travel")
    assert say(taken_for(dossier)).startswith("an excavator")
