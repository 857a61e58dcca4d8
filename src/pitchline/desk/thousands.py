"""Thousands marks in what people type at the desk: taken out at the door, so that behind it every number reads one way.

Pages write 2,610 h the business's way, so a field takes 2,610 too. What is stored stands without its thousands marks: a setting
that is changed later cannot change what was typed before. Files keep their own rule, which knows no thousands marks
(`exchange/figures.py`).
"""

import re
from collections.abc import Callable

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import figure_in, parse_length
from pitchline.trade.writing import marks_of

_BLANKS = "'\u2019 \u00a0\u2009\u202f"
_LEAD = re.compile(
    rf"\s*[+-]?(?P<number>[1-9][0-9]{{0,2}}(?:[.,{_BLANKS}][0-9]{{3}})+(?:[.,][0-9]+)?)(?![0-9.,])(?!\s*/)",
    re.ASCII,
)
_MARK = re.compile(rf"[.,{_BLANKS}]")


def number_text(text: str, numbers: str, unit: str = "") -> str:
    """A typed number without its thousands marks and without its unit.

    Parameters
    ----------
    text : str
        Such as "2,612", "2 612,5", "2'612" or "2,612 h".
    numbers : str
        How the business writes numbers, a key of `LOCALES`.
    unit : str
        A unit that may stand behind it.

    Returns
    -------
    str
        What is left open, such as "2.612" where a point is the decimal mark, stays as typed: `number_of` asks back, naming both.

    Examples
    --------
    >>> number_text("2,612 h", "point", "h"), number_text("2.612,5", "point"), number_text("2,612", "comma")
    ('2612', '2612,5', '2,612')
    """
    bare = text.strip()
    if unit and bare.lower().endswith(unit.lower()):
        bare = bare[: -len(unit)].rstrip()
    elif unit:
        figure, factor = figure_in(bare, unit)
        bare = figure if factor == 1.0 else bare
    return _without_marks(bare, numbers)


def figure_text(text: str, numbers: str, least: float, most: float) -> str:
    """A typed figure that must lie in a range, without its thousands marks.

    Parameters
    ----------
    text : str
        As typed.
    numbers : str
        How the business writes numbers, a key of `LOCALES`.
    least, most : float
        The range.

    Returns
    -------
    str
        One mark before three digits is read as the range allows; where the range does not tell, as the business writes.

    Examples
    --------
    >>> figure_text("14,300", "comma", 200.0, 1e6), figure_text("1,125", "point", 0.0, 60.0)
    ('14300', '1,125')
    """

    def fits(typed: str) -> bool:
        try:
            return least <= float(typed.replace(",", ".")) <= most
        except ValueError:
            return False

    return _without_marks(text.strip(), numbers, fits)


def length_text(text: str, numbers: str, unit: str, least_m: float, most_m: float) -> str:
    """A typed length without its thousands marks.

    Parameters
    ----------
    text : str
        Such as "46,1", "1,234 mm" or "2 3/8 in".
    numbers : str
        How the business writes numbers, a key of `LOCALES`.
    unit : str
        Unit taken where none was typed.
    least_m, most_m : float
        What such a length can be [m].

    Returns
    -------
    str
        In millimetres, one mark before three digits is read as the range allows, 1,234 or 1.234; where the range does not tell,
        as the business writes. In any other unit it is a decimal mark: 2,375 in is an everyday size.

    Examples
    --------
    >>> length_text("1,234", "point", "mm", 0.16, 2.4), length_text("46,125 mm", "point", "mm", 0.01, 0.2)
    ('1234', '46,125 mm')
    """

    def fits(typed: str) -> bool:
        try:
            size = parse_length(typed, unit)
        except NotAllowedError:
            return False
        if size.unit != "mm":
            return _LEAD.match(typed) is not None
        return least_m <= abs(size.si) <= most_m

    return _without_marks(text, numbers, fits)


def _without_marks(text: str, numbers: str, fits: Callable[[str], bool] | None = None) -> str:
    found = _LEAD.match(text)
    if found is None:
        return text
    number, behind = found["number"], text[found.end() :]
    before, marks = text[: found.start("number")], _MARK.findall(number)
    whole, last, others = f"{before}{_MARK.sub('', number)}{behind}", marks[-1], set(marks[:-1])
    if not others:
        return whole if last in _BLANKS else _one_mark(text, whole, last, numbers, fits)
    head, _, tail = number.rpartition(last)
    if others == {last} and len(tail) == 3:
        return whole
    if len(others) == 1 and last not in others and last in ".,":
        return f"{before}{_MARK.sub('', head)}{last}{tail}{behind}"
    return text


def _one_mark(text: str, whole: str, mark: str, numbers: str, fits: Callable[[str], bool] | None) -> str:
    """One point or comma before three digits: by the range where it tells, else the business's way."""
    by_style = whole if mark == marks_of(numbers)[0] else text
    if fits is None:
        return by_style
    part = text.replace(f"{mark}000", "", 1)
    likely = [each for each in (whole, part) if fits(each)]
    return likely[0] if len(likely) == 1 else whole if by_style == whole else part
