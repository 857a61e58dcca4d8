"""From words people write to the trade's types: parts, sides, quantities, findings and tools, with the nearest on offer."""

import difflib
from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import lru_cache
from typing import TypeVar

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.findings import FindingKind, Severity
from pitchline.trade.ground import GROUNDS_BEFORE, GroundClass
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand, measurands_of
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.readings import Tool
from pitchline.words.catalogue import in_english
from pitchline.words.names import named, several

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)
_WORD = 100
"""Longer texts are no words, and not kept."""


def plain(text: str) -> str:
    """A word for comparing: small letters, single spaces, underscores and hyphens as spaces.

    Examples
    --------
    >>> plain(" Bottom_Roller ")
    'bottom roller'
    """
    return _plain(text) if len(text) < _WORD else _plain.__wrapped__(text)


@lru_cache(maxsize=4096)  # the same few hundred words, asked for again with every reading
def _plain(text: str) -> str:
    return " ".join(text.replace("_", " ").replace("-", " ").split()).casefold()


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like the one written, or None when none is."""
    by_plain = {plain(each): each for each in known}
    found = difflib.get_close_matches(plain(word)[:60], list(by_plain), n=1, cutoff=0.55)
    return by_plain[found[0]] if found else None


def hint(word: str, known: Iterable[str], otherwise: str = in_english("Use one of these words.")) -> str:
    """The next step for an unknown word: the nearest known one, if any is near."""
    near = nearest(word, known)
    return phrase("Did you mean {word}?", word=repr(near)) if near else otherwise


def look_up(text: object, table: Mapping[str, T], field: str, allowed: str | None = None) -> T:
    """What a word stands for.

    Parameters
    ----------
    text : object
        The word as written; anything but text is refused.
    table : mapping of str to object
        Known words.
    field : str
        Name used in the error.
    allowed : str or None
        Words for what is allowed; by default the known words.

    Raises
    ------
    NotAllowedError
        The word is unknown; the nearest known one is offered.
    """
    if isinstance(text, str):
        wanted = plain(text)
        if wanted in table:  # most tables hold their words plain already
            return table[wanted]
        by_plain = {plain(word): meant for word, meant in table.items()}
        if wanted in by_plain:
            return by_plain[wanted]
    seen = text if text != "" else phrase("nothing")
    raise NotAllowedError(field, seen, allowed or ", ".join(table), hint(str(text), table))


def _by_value(enum: type[E]) -> dict[str, E]:
    return {plain(member.value): member for member in enum}


_PARTS_SAID = ", ".join(map(named, PartKind))  # what a file may hold is told as a file holds it, in every language
_PART_WORDS: dict[str, PartKind] = {}
for _part in PartKind:
    for _word in (named(_part), several(_part), _part.value):
        _PART_WORDS.setdefault(plain(_word), _part)
_MEASURAND_WORDS = {plain(named(each)): each for each in Measurand} | _by_value(Measurand)
_SIDE_WORDS = {"left": Side.LEFT, "right": Side.RIGHT, "": Side.NONE, "none": Side.NONE}
_GROUND_WORDS = {ground.code: ground for ground in GroundClass}
_JOB_WORDS = _by_value(JobKind) | {plain(named(job)): job for job in JobKind}


_JOBS_SAID = ", ".join(map(named, JobKind))
_READ_ON = {part: measurands_of(part) or tuple(Measurand) for part in PartKind} | {None: tuple(Measurand)}
_QUANTITIES_SAID = {part: ", ".join(map(named, read)) for part, read in _READ_ON.items()}


def part_of(text: object) -> PartKind:
    """The part a word means: its key, or its name in singular or plural."""
    return look_up(text, _PART_WORDS, "part", _PARTS_SAID)


def side_of(text: object) -> Side:
    """The side a word means; empty for a part there is one of."""
    return look_up(text, _SIDE_WORDS, "side", "left, right, or empty for a part there is one of")


def measurand_of(text: object, part: PartKind | None = None) -> Measurand:
    """The quantity a word means; with the part known, the error names what is read on it."""
    return look_up(text, _MEASURAND_WORDS, "quantity", _QUANTITIES_SAID[part])


def finding_of(text: object) -> FindingKind:
    """The kind of finding a word means."""
    labels = {named(kind): kind for kind in FindingKind}
    return look_up(text, _by_value(FindingKind) | labels, "seen", ", ".join(labels))


def on_one_of(text: object) -> bool | None:
    """Whether two or more sit on one piece; None where nothing is said."""
    return look_up(text, {"yes": True, "no": False}, "on one") if text else None


def severity_of(text: object) -> Severity:
    """How bad, from its word."""
    return look_up(text, _by_value(Severity) | {"marked": Severity.CLEAR}, "how bad", ", ".join(Severity))


def ground_of(text: object) -> GroundClass:
    """The ground class a word means."""
    return look_up(text, _GROUND_WORDS | GROUNDS_BEFORE, "ground", ", ".join(_GROUND_WORDS))


def job_of(text: object) -> JobKind:
    """The job a word means."""
    return look_up(text, _JOB_WORDS, "job", _JOBS_SAID)


def tool_of(text: str, tools: Iterable[Tool]) -> Tool:
    """A tool by its short name or its name for reading; an empty word means the tool was not noted."""
    known = {tool.name: tool for tool in tools}
    by_label = {plain(tool.label): tool for tool in known.values()}
    by_name = {plain(name): tool for name, tool in known.items()}
    return look_up(text.strip() or "unknown", by_label | by_name, "tool", ", ".join(known))


def place_on(gear: RunningGear, part: PartKind, side: Side, position: int, whole_side: bool = False) -> Place:
    """A place this running gear has.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    part : PartKind
        The part.
    side : Side
        Left, right, or none for a part there is one of.
    position : int
        Number from the front; 0 where none was given.
    whole_side : bool
        Whether 0 may stand for every position of a numbered part.

    Raises
    ------
    NotAllowedError
        The machine has no such part, side or position.
    """
    sits, count = PARTS[part], gear.count(part)
    if count == 0:
        there = tuple(dict.fromkeys(place.part for place in gear.places()))
        raise NotAllowedError(
            "part",
            phrase("{part:part}", part=part),
            phrase("a part this machine has: {there:each_listed}", there=there),
            "Check the machine file.",
        )
    if sits.sided and side is Side.NONE:
        raise NotAllowedError("side", phrase("nothing"), "left or right", "Say which side.")
    if not sits.sided and side is not Side.NONE:
        raise NotAllowedError(
            "side",
            side.value,
            phrase("empty, because there is one {part:part}", part=part),
            "Empty the cell.",
        )
    if not sits.numbered:
        if position != 0:
            raise NotAllowedError(
                "number", position, phrase("empty for {part:part}", part=part), "Empty the cell."
            )
        return Place(part, side)
    if position == 0 and whole_side:
        return Place(part, side)
    if position == 0 and count == 1:
        position = 1
    if not 1 <= position <= count:
        raise NotAllowedError(
            "number",
            position or phrase("nothing"),
            phrase("1 to {count} for {parts:parts}, {side:side}", count=count, parts=part, side=side),
            "Count from the front idler backwards.",
        )
    return Place(part, side, position)
