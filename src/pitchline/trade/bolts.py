"""Bolts that are missing or loose: told by their number, and by whether they sit on one piece."""

from dataclasses import dataclass

from pitchline.trade.consequences import FindingKind, Severity
from pitchline.trade.parts import PartKind

COUNTED = (FindingKind.MISSING_BOLTS, FindingKind.LOOSE_BOLTS)
"""Findings told by their number first."""
FEW_BOLTS = 3
PIECES = (PartKind.SHOE, PartKind.PAD)
"""Parts of which a place holds many pieces."""


def severity_of_bolts(count: int) -> Severity:
    """How bad so many missing or loose bolts of one part are taken to be, where nobody says otherwise.

    Parameters
    ----------
    count : int
        How many, from 1.

    Returns
    -------
    Severity
        One is slight, two or three are clear, more are severe.

    References
    ----------
    Our own judgement, on the careful side; no source.

    Examples
    --------
    >>> [severity_of_bolts(count).value for count in (1, 2, 4)]
    ['slight', 'clear', 'severe']
    """
    if count == 1:
        return Severity.SLIGHT
    return Severity.CLEAR if count <= FEW_BOLTS else Severity.SEVERE


@dataclass(frozen=True, slots=True)
class Border:
    """From how many bolts on a finding stops the machine.

    Parameters
    ----------
    on_one : int
        Where they sit on one piece, from 1.
    spread : int
        Where they are spread over the pieces of one side, not below `on_one`.

    References
    ----------
    Our own judgement, no source.
    """

    on_one: int
    spread: int


_FIRST, _SECOND = Border(1, 1), Border(2, 2)
_BORDERS: dict[FindingKind, dict[PartKind, Border]] = {
    FindingKind.MISSING_BOLTS: {
        PartKind.SLEW_RING: _FIRST,
        PartKind.FINAL_DRIVE: _FIRST,
        PartKind.SHOE: Border(2, 4),
        PartKind.PAD: Border(2, 4),
    },
    FindingKind.LOOSE_BOLTS: {
        PartKind.SLEW_RING: _FIRST,
        PartKind.FINAL_DRIVE: _SECOND,
        PartKind.SPROCKET: _SECOND,
        PartKind.TRACK_ADJUSTER: _SECOND,
        PartKind.SHOE: Border(3, 12),
        PartKind.PAD: Border(3, 12),
    },
}
_OTHER_BORDERS = {FindingKind.MISSING_BOLTS: _SECOND, FindingKind.LOOSE_BOLTS: Border(4, 4)}


def border_of(kind: FindingKind, part: PartKind) -> Border:
    """From how many missing or loose bolts on a part stops the machine.

    Returns
    -------
    Border
        A missing bolt of a slew ring or a final drive is one too many; four bolts spread over a side's shoes are not.

    References
    ----------
    Our own judgement, on the careful side; no source.

    Examples
    --------
    >>> border_of(FindingKind.MISSING_BOLTS, PartKind.SHOE)
    Border(on_one=2, spread=4)
    """
    return _BORDERS[kind].get(part, _OTHER_BORDERS[kind])


def asks_on_one(kind: FindingKind, part: PartKind) -> bool:
    """Whether it is asked if what was counted sits on one piece.

    Returns
    -------
    bool
        For bolts of shoes and pads, of which a side has many.

    References
    ----------
    Our own judgement, no source.
    """
    return kind in COUNTED and part in PIECES
