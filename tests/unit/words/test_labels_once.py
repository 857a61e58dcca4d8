"""Labels stand once: no two things of a kind are called alike, and no thing is called otherwise than the glossary decides.

Pages, papers, commands and refusals are held to it by the catalogue, which has every text of theirs; files by their columns,
commands by their options; what an option was called before is still taken.
"""

import argparse
import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import chain

import pytest
from translations import all_heads, everything_said

from pitchline.cli import parser
from pitchline.desk.workdone.table import COLUMNS as WORK_DONE
from pitchline.exchange.limits_file import LIMITS
from pitchline.exchange.machine_list import MACHINE_LIST
from pitchline.exchange.prices_file import PRICES
from pitchline.exchange.sheet_layout import SHEET
from pitchline.trade.parts import PartKind
from pitchline.words.ground_names import OF_GROUND
from pitchline.words.names import KINDS, named, several

SHARED = {
    "measure again": "the job, and what a call for it is about",
    "slew ring": "the part, and the caution at it",
    "link rail height": "what is read on a walk-round, and what a part of a list is known by",
    "grouser height": "the same",
    "tread diameter": "the same",
}
"""What is called alike in two kinds, because it is about the same."""
SECOND = {
    r"track centres": "track gauge",
    r"(top|carrier|track) rollers?": "upper roller, bottom roller",
    r"bushings?": "bush",
    r"unjudged": "not read",
    r"worn now": "fitted now",
    r"held up": "what is against it",
    r"doubtful": "questioned of a reading, uncertain of a ground",
    r"bands?": "range",
    r"plan of stops|stop plan": "plan of lay-ups",
    r"(other|no|\d+) stops?": "lay-up: stop is the call alone",
    r"(life|hours) remaining|remaining (life|hours)": "life left, hours left",
    r"(share|wear) used": "life used",
    r"link height": "link rail height",
    r"chain pitch": "pitch per joint",
    r"(one|two|three) grousers?": "single, double, triple grouser",
    r"read by": "who",
    r"catalogue": "gear list",
    r"outlook page": "What if",
    r"strip": "chart of a yard, hours line of a plan",
    r"(wears?|wear class:?) (light|heavy|kind)": "gentle, mild, middling, sharp, harsh",
    r"investigate": "look into",
}
"""Other labels for things that have theirs, as a pattern, and what they are called. `docs/glossary.md` decides."""
A_KEY = frozenset(("exchange/machine_model.py",))
"""Where a name is not a label but a key of a file, which reads as it was first written."""

OTHERS_CALL_IT = "words/english/primer_also.py"
"""Where words are that others use: the primer names them beside ours, so that they are found."""


def _in_the_catalogue() -> Iterator[tuple[str, str]]:
    for message in everything_said():
        where = {place for place, _ in message.locations}
        if (
            message.id
            and not where <= A_KEY
            and not any(place.startswith(("django/", "argparse", OTHERS_CALL_IT)) for place in where)
        ):
            for text in message.id if isinstance(message.id, tuple) else (message.id,):
                yield re.sub(r"\{\w+", "{", text), min(where)


def _in_files() -> Iterator[tuple[str, str]]:
    for layout in (SHEET, LIMITS, PRICES, MACHINE_LIST):
        yield from ((column, layout.title) for column in (*layout.heads, *layout.columns, *layout.further))
    yield from ((column, "workbook") for column in all_heads())
    yield from ((column, "work done") for column in WORK_DONE)


def _in_commands() -> Iterator[tuple[str, str]]:
    todo: list[argparse.ArgumentParser] = [parser()]
    while todo:
        one = todo.pop()
        for action in one._actions:
            yield from ((name.strip("-").replace("-", " "), one.prog) for name in action.option_strings[:1])
            if isinstance(action, argparse._SubParsersAction):
                todo += action.choices.values()
                yield from ((name, one.prog) for name in action.choices)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_no_two_things_of_a_kind_are_called_alike(kind: type) -> None:
    names = [named(thing) for thing in kind]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("kind", OF_GROUND)
def test_no_two_things_of_a_ground_fit_are_called_alike(kind: str) -> None:
    assert len(set(OF_GROUND[kind].values())) == len(OF_GROUND[kind])


def test_what_is_called_alike_in_two_kinds_is_about_the_same() -> None:
    called = defaultdict(set)
    for kind in KINDS:
        for thing in kind:
            called[named(thing)].add(kind)
    assert {name for name, kinds in called.items() if name and len(kinds) > 1} == set(SHARED)


def test_one_and_several_of_a_part_are_of_one_word() -> None:
    assert [part for part in PartKind if several(part) not in (named(part), f"{named(part)}s")] == []


@pytest.mark.parametrize("second", SECOND)
def test_a_second_label_is_found(second: str) -> None:
    """A pattern that could not match anything would hold nothing."""
    plain = re.sub(r"\(([^|()]*)[^()]*\)|\\d\+", r"\1", second).split("|")[0].replace("?", "").replace(":", "")
    assert re.search(rf"\b(?:{second})", f"the {plain} of it".replace("  ", " ")) or re.search(second, plain), (
        plain
    )


def test_nothing_has_a_second_label_on_page_paper_file_or_command() -> None:
    everywhere = list(chain(_in_the_catalogue(), _in_files(), _in_commands()))
    assert len(everywhere) > 3000
    found = [
        f"{where}: {text}: {right}"
        for second, right in SECOND.items()
        for text, where in everywhere
        if re.search(rf"\b(?:{second})\b", text, re.IGNORECASE)
    ]
    assert found == []


def test_no_file_has_two_columns_of_one_name() -> None:
    for layout in (SHEET, LIMITS, PRICES, MACHINE_LIST):
        columns = (*layout.columns, *layout.further)
        assert len(set(columns)) == len(columns), layout.title
    assert len(set(WORK_DONE)) == len(WORK_DONE)
