"""Several places of parts in words, short."""

from collections.abc import Sequence

from pitchline.trade.parts import Place, Side
from pitchline.words.catalogue import counted, translated
from pitchline.words.labels import label, plural, singular

_MOST_KINDS = 3
"""Kinds of part named before the rest is only counted."""


def places_in_words(places: tuple[Place, ...]) -> str:
    """Several places of one kind of part, short.

    Parameters
    ----------
    places : tuple of Place
        One or more, all of one kind.

    Returns
    -------
    str
        Such as "bottom rollers 1 to 3 and 5 left, 2 right".

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind
    >>> rollers = [Place(PartKind.BOTTOM_ROLLER, Side.LEFT, number) for number in (1, 2, 3, 5)]
    >>> places_in_words((*rollers, Place(PartKind.BOTTOM_ROLLER, Side.RIGHT, 2)))
    'bottom rollers 1 to 3 and 5 left, 2 right'
    >>> places_in_words((Place(PartKind.BUSH, Side.LEFT), Place(PartKind.BUSH, Side.RIGHT)))
    'bushes, left and right'
    >>> places_in_words((Place(PartKind.IDLER, Side.LEFT, 1), Place(PartKind.IDLER, Side.RIGHT, 1)))
    'idler 1, left and right'
    """
    parts = plural(places[0].part) if len(places) > 1 else singular(places[0].part)
    sides = [side for side in Side if any(place.side is side for place in places)]
    if not any(place.position for place in places):
        named = [label(side) for side in sides if side.value]
        if not named:
            return parts
        return f"{parts}, {_both(*named) if len(named) == 2 else named[0]}"
    numbers = {
        side: _numbers([place.position for place in sorted(places) if place.side is side]) for side in sides
    }
    if len(sides) == 2 and len(set(numbers.values())) == 1:
        alike = singular(places[0].part) if len(places) == 2 else parts
        return f"{alike} {numbers[sides[0]]}, {_both(*(label(side) for side in sides))}"
    return f"{parts} {', '.join(f'{said} {label(side)}' for side, said in numbers.items())}"


def _both(one: str, other: str) -> str:
    return translated("{most} and {last}").format(most=one, last=other)


def _numbers(positions: list[int]) -> str:
    """Numbers with runs drawn together, such as "1 to 3, 5 and 8"."""
    runs: list[list[int]] = []
    for position in positions:
        if runs and runs[-1][-1] == position - 1:
            runs[-1].append(position)
        else:
            runs.append([position])
    said: list[str] = []
    for run in runs:
        through = translated("{first} to {last}").format(first=run[0], last=run[-1])
        said += [through] if len(run) > 2 else [str(number) for number in run]
    return said[0] if len(said) == 1 else _both(", ".join(said[:-1]), said[-1])


def kinds_in_words(kinds: Sequence[tuple[str, Sequence[Place]]]) -> str:
    """Places of several kinds of part, short.

    Parameters
    ----------
    kinds : sequence of (str, sequence of Place)
        "all" where all places of a kind are meant, "the_one" where there is but one, else empty; and the places, one or more.

    Returns
    -------
    str
        Three kinds at most, and how many more there are.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind
    >>> idlers = [Place(PartKind.IDLER, side, 1) for side in (Side.LEFT, Side.RIGHT)]
    >>> ring = Place(PartKind.SLEW_RING, Side.NONE)
    >>> kinds_in_words([("all", idlers), ("the_one", [ring])]), kinds_in_words([("", idlers[:1])])
    ('idlers, slew ring', 'idler 1 left')
    """
    said = [
        places_in_words(tuple(places)) if not whole else (plural if whole == "all" else singular)(places[0].part)
        for whole, places in kinds
    ]
    more = len(said) - _MOST_KINDS
    if more <= 0:
        return ", ".join(said)
    rest = counted("{n} more kind of part", "{n} more kinds of part", more).format(n=more)
    return _both(", ".join(said[:_MOST_KINDS]), rest)
