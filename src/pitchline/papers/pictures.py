"""The pictures of the paper: one side to scale, the wear record of the part due first, and sheets of the parts called on."""

from dataclasses import dataclass

from pitchline.judge.called import counted_due
from pitchline.picture.ink import Board, Tone
from pitchline.picture.part import part_board
from pitchline.picture.record import record_board
from pitchline.picture.sections import states_of
from pitchline.picture.side import side_board
from pitchline.picture.verdict_sizes import soonest
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import PartVerdict, Verdict
from pitchline.words import in_english, translated
from pitchline.words.called import hatch_said

_WIDTH, _COLUMN, _GAP = 900, 440, 10
_PAGE = 1250.0
"""Height of a page under its heading, in pixels of a drawing as wide as the page."""
_MOST_SHEETS = 5
_LINES = in_english("New outline dashed, wear limit dash-dotted, today solid; what is worn away is dotted.")


@dataclass(frozen=True, slots=True)
class _Picture:
    """One drawing for the paper."""

    svg: str
    told: str
    tall: float

    def as_told(self) -> dict[str, object]:
        return {"svg": self.svg, "alt": self.told}


def told_pictures(verdict: Verdict, units: UnitSystem, records: bool = True) -> dict[str, object]:
    """What the page of pictures shows.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    units : UnitSystem
        Metric or imperial.
    records : bool
        Whether the wear record of the part due first is drawn too.

    Returns
    -------
    dict
        A caption, the side elevation, and two columns of smaller drawings, as the template expects them.

    References
    ----------
    Our own choice: what is called stop or book, most urgent first; without any, the part due first.
    """
    kinds, first = _kinds(verdict), _side(verdict)
    sides = [
        _picture(f"{one.value}", *side_board(verdict, one, _WIDTH, units, one.value, brief=True))
        for one in (first, Side.RIGHT if first is Side.LEFT else Side.LEFT)
    ]
    columns: list[list[_Picture]] = [[], []]
    room = _PAGE - sides[0].tall
    for picture in (*(_records(verdict, units) if records else ()), *_sheets(verdict, kinds, units)):
        column = min(columns, key=_tall)
        if _tall(column) + picture.tall <= room:
            column.append(picture)
    sheets = any(len(column) for column in columns)
    fits = max(map(_tall, columns)) + sides[1].tall <= room
    return {
        "caption": f"{hatch_said()} {translated(_LINES)}" if sheets else hatch_said(),
        "sides": [side.as_told() for side in sides[: 2 if fits else 1]],
        "every_side": [side.as_told() for side in sides],
        "columns": [[picture.as_told() for picture in column] for column in columns],
    }


def _picture(prefix: str, board: Board, height: float, told: str) -> _Picture:
    return _Picture(board.svg(height, prefix, told, Tone.PAPER), told, height + _GAP)


def _tall(column: list[_Picture]) -> float:
    return sum(picture.tall for picture in column)


def _urgency(part: PartVerdict) -> tuple[int, float]:
    due = counted_due(part)
    return -part.call.rank, due.middle if due is not None else 0.0


def _kinds(verdict: Verdict) -> list[PartKind]:
    """Kinds of part that a sheet can be drawn of and that are called on, most urgent first."""
    drawable = [part for part in verdict.parts if states_of(part, verdict.gear) is not None]
    called = sorted((part for part in drawable if part.call.asks), key=_urgency)
    first = [part for part in drawable if part.place == verdict.next_due_place]
    return list(dict.fromkeys(part.place.part for part in called or first))[:_MOST_SHEETS]


def _side(verdict: Verdict) -> Side:
    """The side with the most urgent part."""
    sided = [part for part in verdict.parts if part.place.side is not Side.NONE]
    called = [part for part in sided if part.call.asks]
    if called:
        return min(called, key=_urgency).place.side
    due = verdict.next_due_place.side if verdict.next_due_place is not None else Side.NONE
    return due if due is not Side.NONE else Side.LEFT


def _records(verdict: Verdict, units: UnitSystem) -> list[_Picture]:
    """The wear record of the part due first, where it was read."""
    part = next((one for one in verdict.parts if one.place == verdict.next_due_place), None)
    judged = soonest(part) if part is not None else None
    if part is None or judged is None:
        return []
    drawn = record_board(verdict, part.place, judged.measurand, (), _COLUMN, units, "record", brief=True)
    return [_picture("record", *drawn)]


def _sheets(verdict: Verdict, kinds: list[PartKind], units: UnitSystem) -> list[_Picture]:
    return [
        _picture(f"part{number}", *part_board(verdict, kind, 0, _COLUMN, units, f"part{number}", brief=True))
        for number, kind in enumerate(kinds, 1)
    ]
