"""The file a phone saved because it could not meet the desk: read line by line, by the same way in as over the air."""

import base64
import binascii
import json
import time
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from pitchline.desk.pocket.intake import PHOTO_NAME, Sender, take
from pitchline.desk.pocket.records import MOST_RECORD, NotTakenError, record_in
from pitchline.desk.uploads import LARGEST_PHOTO_MB, upload
from pitchline.exchange.gathering import refuse
from pitchline.exchange.zip_guard import MB
from pitchline.trade.errors import InputError
from pitchline.words import translated
from pitchline.words.catalogue import refused

LONGEST_LINE = LARGEST_PHOTO_MB * MB * 4 // 3 + 2 * MOST_RECORD
"""Letters in a line: the largest photo in base64, and a record."""
MOST_PROBLEMS = 200
MOST_S = 120.0
"""How long one sending of a file is worked on [s]; the same file again goes on where it was left. Our own choice."""


class Lines(Protocol):
    """A file that is read line by line."""

    def readline(self, most: int, /) -> bytes:
        """The next line, or as much of it as asked."""


@dataclass
class Taken:
    """What became of a file.

    Parameters
    ----------
    done, looks : int
        How many records are in, now or before, and how many of them wait for a look.
    problems : list of (int, str)
        Each line that could not be taken, by its number in the file, and why.
    is_cut : bool
        Whether it took too long: the same file again goes on.
    """

    done: int = 0
    looks: int = 0
    problems: list[tuple[int, str]] = field(default_factory=list)
    is_cut: bool = False


def take_file(sender: Sender, name: str, stream: Lines) -> Taken:
    """What became of a file a phone saved; taken twice it changes nothing.

    Raises
    ------
    InputError
        It is no such file.
    """
    sender, taken, until = replace(sender, recorder=_head(name, stream)), Taken(), time.monotonic() + MOST_S
    number = 1
    while content := stream.readline(LONGEST_LINE + 1):
        number += 1
        if time.monotonic() > until or len(taken.problems) >= MOST_PROBLEMS:
            taken.is_cut = True
            break
        if not content.strip():
            continue
        if len(content) > LONGEST_LINE:
            taken.problems.append((number, translated("This entry is too large to be one.")))
            _skip_line(content, stream)
            continue
        try:
            answer = _take_line(sender, content)
        except NotTakenError as error:
            taken.problems.append((number, error.said))
            continue
        taken.done += 1
        taken.looks += answer["became"] == "look"
    return taken


def _skip_line(content: bytes, stream: Lines) -> None:
    while content and not content.endswith(b"\n"):
        content = stream.readline(MB)


def _head(name: str, stream: Lines) -> str:
    """Who the phone was of, from the file's first line."""
    try:
        head = json.loads(stream.readline(MOST_RECORD))
        if head["pitchline_pocket"] == 1:
            person = head.get("person", "")
            return person if isinstance(person, str) and len(person) <= 200 and "\x00" not in person else ""
    except (ValueError, TypeError, KeyError, RecursionError):
        pass
    allowed = translated("a file that the yard in a phone saved")
    raise refuse(
        name, "file", "something else inside", allowed, "On the phone, open what waits, and save it as a file."
    )


def _take_line(sender: Sender, content: bytes) -> dict[str, Any]:
    """The answer to one line.

    Raises
    ------
    NotTakenError
        It is no record, or cannot be taken now.
    """
    told = _told(content)
    coded = told.pop("file", None)
    record = record_in(json.dumps(told).encode())
    if coded is None:
        return take(sender, record)
    try:
        photo = upload(PHOTO_NAME, base64.b64decode(coded, validate=True), LARGEST_PHOTO_MB)
    except (binascii.Error, ValueError, TypeError):
        raise NotTakenError(422, "no photo", translated("Its photo cannot be read.")) from None
    except InputError as error:
        raise NotTakenError(413, "too large", " ".join(map(refused, error.problems))) from None
    return take(sender, record, photo)


def _told(content: bytes) -> dict[str, Any]:
    try:
        told = json.loads(content)
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict):
        raise NotTakenError(422, "not understood", translated("This entry cannot be read."))
    return told
