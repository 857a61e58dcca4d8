"""`pitchline match`: which part of a list fits what was read of a worn one."""

import argparse
from pathlib import Path

from pitchline.exchange.figures import typed_length
from pitchline.exchange.part_readings import read_size
from pitchline.exchange.parts_file import read_parts
from pitchline.exchange.words import part_of
from pitchline.match.next_size import next_sizes
from pitchline.match.parts import PartList
from pitchline.match.ranking import PartReading, Ranked, match_parts
from pitchline.match.wording import answer
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.part_sizes import sizes_of_part
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import Saying, saying
from pitchline.words import in_english, say, translated
from pitchline.words.names import named

EXAMPLES = (
    (
        in_english("a worn roller against your own list"),
        "pitchline match parts.csv --part 'bottom roller' --read 'tread diameter=168' --read 'bolt spacing along=180'",
    ),
)
DOUBT_MM = "0.5"


def add(matching: argparse.ArgumentParser) -> None:
    """Its options."""
    matching.add_argument(
        "parts", type=Path, metavar="PARTS.csv", help=translated("your list of parts, .csv or .xlsx")
    )
    matching.add_argument(
        "--part", required=True, metavar="NAME", help=translated("what it is, such as 'bottom roller'")
    )
    matching.add_argument(
        "--read",
        action="append",
        required=True,
        metavar="SIZE=FIGURE",
        help=translated(
            "a size as read, such as 'bolt spacing along=180', 'teeth=23', 'tread diameter=girth 641', "
            "'root diameter=chord 300 height 30' or 'bolt circle=50 over 1 of 26'; once for each"
        ),
    )
    matching.add_argument(
        "--doubt",
        default=DOUBT_MM,
        metavar="LENGTH",
        help=translated("how far a reading may lie off, as a standard uncertainty; 0.5 mm if left out"),
    )
    matching.add_argument("--most", type=int, default=5, metavar="N", help=translated("how many are shown"))


def run(asked: argparse.Namespace) -> None:
    """Nothing comes out; the parts are printed, the best first, and what to read next.

    Raises
    ------
    InputError, NotAllowedError
        A list or a reading that cannot be used.
    """
    kind = part_of(asked.part)
    parts = PartList(tuple(one for one in read_parts(asked.parts) if one.part is kind))
    u_m = typed_length(asked.doubt, "mm", "doubt").si
    readings = [_reading(text, kind, u_m) for text in asked.read]
    found = match_parts(parts, readings, max(asked.most, 1))
    print(say(answer(found, next_sizes(parts, found, frozenset(one.size for one in readings)))))
    for place, one in enumerate(found.ranked, 1):
        print(say(_row(place, one)))


def _row(place: int, one: Ranked) -> Saying:
    outside = saying("match.row_outside", sizes=one.outside) if one.outside else None
    note = f" ({one.part.note})" if one.part.note else ""
    return saying("match.row", place=place, number=one.part.number, note=note, chance=one.chance, outside=outside)


def _reading(text: str, kind: PartKind, u_m: float) -> PartReading:
    name, equals, figure = text.partition("=")
    sizes = {named(size): size for size in sizes_of_part(kind)}
    size = sizes.get(" ".join(name.split()).casefold())
    if not equals or size is None:
        raise NotAllowedError("reading", text, ", ".join(sizes), "Type a size, an equals sign and the figure.")
    return read_size(figure, size, "mm", u_m)
