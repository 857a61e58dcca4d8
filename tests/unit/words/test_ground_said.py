"""What is said of the ground is said in the language in force, to the last word."""

from pathlib import Path

import made_up
from pitchline.cli.ground_words import ground_screen
from pitchline.demo.yard import build_yard
from pitchline.exchange.verdict_in import ground_from_json
from pitchline.exchange.verdict_json import ground_json
from pitchline.ground.describe import BootTest, ThumbTest, unknown_ground, with_cone, with_test, with_vane
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Task
from pitchline.ground.shoes import MixPart, ShoeKind, ShoeOffer, compare_shoes
from pitchline.ground.soils import GROUNDS
from pitchline.ground.standing import standing
from pitchline.ground.two_machines import all_said, beside
from pitchline.judge.ground_fit import section_of
from pitchline.papers.ground import told_section
from pitchline.papers.ground_answer import hire_said
from pitchline.trade.saying import saying
from pitchline.words import say

UNITS = frozenset(("mm", "kPa", "kg", "kW"))
MIX = [
    MixPart(GROUNDS[name], 0.25) for name in ("hard rock", "demolition rubble", "wet heavy clay", "lawn or meadow")
]
OFFERS = (ShoeOffer(0.9), ShoeOffer(0.6, ShoeKind.RUBBER_TRACK), ShoeOffer(0.7, ShoeKind.RUBBER_PADS))


def _texts(told: object) -> list[str]:
    """Every text in what a paper is given, but for the marks that a template goes by."""
    if isinstance(told, dict):
        return [text for name, each in told.items() if name != "mark" or " " in str(each) for text in _texts(each)]
    if isinstance(told, list | tuple):
        return [text for each in told for text in _texts(each)]
    return [told] if isinstance(told, str) else []


def test_papers_and_pages_say_a_ground_fit_in_the_language_in_force(tmp_path: Path) -> None:
    """Also where it was stored in English, and of two machines beside each other."""
    yard = build_yard()
    both = [yard.machine(number).dossier for number in (7, 17)]
    how = saying("ground.as_asked")
    sections = [
        section_of(standing(one.machine, one.gear), one.gear, MIX, True, how, Task(3e3, 5.0, 12.0), OFFERS)
        for one in both
    ]
    stored = [ground_from_json(ground_json(one)) for one in sections]
    assert stored == sections
    with made_up.spoken(tmp_path):
        lines = beside(sections, ("1", "2"))
        told = [
            *_texts([told_section(one, 9) for one in stored]),
            *(say(one.said) for one in lines),
            say(all_said(lines, ("1", "2"))),
            hire_said(lines, sections, ("1", "2")),
        ]
        assert len(told) > 300
        assert [text for text in told if made_up.plain_words(text, UNITS)] == []


def test_the_shell_says_a_ground_fit_in_the_language_in_force(tmp_path: Path) -> None:
    """Every ground with what may be missing of it, and what was tried on one."""
    dossier = build_yard().machine(7).dossier
    machine = standing(dossier.machine, dossier.gear)
    tried = with_test(with_test(unknown_ground(), ThumbTest.SINKS), BootTest.DEEP_PRINT)
    tried = with_vane(with_cone(with_cone(tried, 40.0, None), 40.0, 0.8), 2e4)
    with made_up.spoken(tmp_path):
        for ground in (*GROUNDS.values(), tried):
            said = ground_screen([ground_fit(machine, ground, Task(slope_deg=9.0), draws=64)], None, "1")
            assert made_up.plain_words(said, UNITS) == [], ground.name
        fits = [ground_fit(machine, part.ground, draws=64) for part in MIX]
        said = ground_screen(fits, compare_shoes(machine, OFFERS, MIX, [0.0] * 5, draws=64), "1")
        assert made_up.plain_words(said, UNITS) == []
