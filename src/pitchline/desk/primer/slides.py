"""The primer as slides: lessons and parts with the yard's own machines where it has them, and its machines as they stand."""

import datetime as dt

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.lessons import AFTER_PARTS, AFTER_SEEN, FIRST, Lesson
from pitchline.desk.primer.queries import example_of
from pitchline.papers.slides import Drawn, Slide, slides_pdf
from pitchline.picture.gear_side import gear_svg
from pitchline.picture.ink import Tone
from pitchline.picture.measured import measured
from pitchline.picture.part_words import invented
from pitchline.picture.side import side_board
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.writing import way_in_force
from pitchline.verdict import Verdict
from pitchline.words import label, say, translated, worded
from pitchline.words.called import called, machine_called
from pitchline.words.speaking import capital

MOST_MACHINES, _WORST = 4, 3
"""Machines of the yard that are shown, and parts told of each: our own choice."""
_WIDE = 900


def slides_of(business: Business, day: dt.date) -> bytes:
    """The talk as a PDF."""
    slides = [
        *map(_lesson, FIRST),
        *(_part(part, business) for part in pages.PARTS_IN_ORDER),
        *map(_lesson, AFTER_PARTS),
        *map(_lesson, AFTER_SEEN),
        *_machines(business),
    ]
    return slides_pdf(translated("The running gear of tracked machines"), slides, day, business.paper_name)


def _lesson(lesson: Lesson) -> Slide:
    lines = tuple(("", step) for step in lesson.told)
    return Slide(lesson.title, lines, _shown(lesson.name), lesson.source)


def _shown(name: str) -> tuple[Drawn, ...]:
    if name in drawings.STAGED:
        return tuple(Drawn(svg, said, said) for svg, said in drawings.STAGED[name](Tone.PAPER))
    if name == "tension":
        return (Drawn(measured(Measurand.SAG).svg(Tone.PAPER), measured(Measurand.SAG).told),)
    gears = drawings.OF_LESSON.get(name, ())[:2]
    return tuple(_gear(one, None, drawings.called(one)) for one in gears)


def _gear(gear: RunningGear, part: PartKind | None, said: str) -> Drawn:
    return Drawn(gear_svg(gear, 720, way_in_force().units, Tone.PAPER, marked=part), said, said)


def _part(part: PartKind, business: Business) -> Slide:
    heads = {
        "sits": translated("Where it sits"), "does": translated("What it does"),
        "wears": translated("How it wears"), "ends": translated("What ends its life"),
    }  # fmt: skip
    lines = tuple((said, pages.part_told(part, what)) for what, said in heads.items())
    example = example_of(business, part)
    gear, drawn = example.gear if example is not None else None, None
    if example is not None and gear is not None:
        try:
            drawn = _gear(gear, part, worded("Filled in on {machine}.", machine=example.machine))
        except NotAllowedError:  # counts of a machine that cannot be drawn
            drawn = None
    return Slide(
        pages.to_part(part)[0], lines, (drawn or _gear(drawings.made_up_for(part), part, translated("Made up.")),)
    )


def _machines(business: Business) -> list[Slide]:
    """The yard's machines that ask for most, as they were judged."""
    judged = Machine.objects.filter(business=business, archived_at=None, judgement__isnull=False)
    rows = judged.select_related("judgement").order_by("name")
    order = {"stop": 0, "book": 1, "run": 2}
    first = sorted(rows, key=lambda one: (order.get(one.call, 3), one.name))[:MOST_MACHINES]
    return [_machine(one.name, verdict_of(one.judgement)) for one in first if one.judgement is not None]


def _machine(name: str, verdict: Verdict) -> Slide:
    asking = sorted((one for one in verdict.parts if one.call.asks), key=lambda one: -one.call.rank)
    lines = tuple(
        (
            capital(label(one.place)),
            worded("{called}. {reason}", called=called(one.call, one.stake), reason=say(one.reason)),
        )
        for one in asking[:_WORST]
    )
    side = asking[0].place.side if asking and asking[0].place.side is not Side.NONE else Side.LEFT
    board, height, alt = side_board(verdict, side, _WIDE, way_in_force().units, "side", brief=True)
    drawn = board.svg(height, name, alt, Tone.PAPER)
    return Slide(
        worded("On our yard: {machine}", machine=name), lines, (Drawn(drawn, alt),),
        invented(verdict),
        (verdict.call.value, machine_called(verdict)),
    )  # fmt: skip
