"""Numbers, lengths, masses, dates and texts as they stand in files, read strictly and written without loss."""

import datetime as dt
import math
import re
from decimal import Decimal

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.meter import MeterChange, service_hours
from pitchline.trade.units import KILOGRAMS_PER_UNIT, METRES_PER_UNIT, Typed, parse_length, parse_mass
from pitchline.trade.writing import as_figure, marked
from pitchline.words.catalogue import in_english

LONGEST_FIGURE = 40
LONGEST_NUMBER = 400
LONGEST_TEXT = 5_000
LONGEST_LENGTH_M = 1_000.0
HEAVIEST_KG = 10_000_000.0
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?", re.ASCII)
_GROUPED = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}", re.ASCII)
_DATE = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})([ T][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?)?", re.ASCII)
_COUNT = re.compile(r"[0-9]{1,6}", re.ASCII)
_NOT_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


def _fixed(number: float) -> str:
    text = format(Decimal(repr(float(number))), "f")
    return text[:-2] if text.endswith(".0") else text


def exact_number(number: float) -> str:
    """A finite number written out so that reading it gives the same number, never with a mark that could mean thousands.

    Examples
    --------
    >>> exact_number(8150.0), exact_number(1.125), exact_number(1e-7)
    ('8150', '1.1250', '0.0000001')
    """
    text = _fixed(number)
    return text + "0" if _GROUPED.fullmatch(text) else text


def exact_length(length_m: float) -> str:
    """A length with its unit, in mm where that reads back the same, else in m.

    Examples
    --------
    >>> exact_length(0.105)
    '105 mm'
    """
    for unit, digits in (("mm", 9), ("mm", 12), ("m", None)):
        amount = length_m / METRES_PER_UNIT[unit]
        text = _fixed(amount if digits is None else round(amount, digits))
        if float(text) * METRES_PER_UNIT[unit] == length_m:
            break
    return f"{text} {unit}"


def exact_mass(mass_kg: float) -> str:
    """A mass with its unit, in t from 1000 kg where that reads back the same, else in kg.

    Examples
    --------
    >>> exact_mass(21500.0)
    '21.5 t'
    """
    tonnes = _fixed(round(mass_kg / KILOGRAMS_PER_UNIT["t"], 9))
    if mass_kg >= 1000 and float(tonnes) * KILOGRAMS_PER_UNIT["t"] == mass_kg:
        return f"{tonnes} t"
    return f"{_fixed(mass_kg)} kg"


def number_of(text: str, field: str, example: float = 8.0) -> float:
    """A number of 0 or more, with decimal point or comma and no thousands marks.

    Parameters
    ----------
    text : str
        Such as "8150", "8150.5" or "8150,5".
    field : str
        Name used in the error.
    example : float
        A whole number such as the field takes, for the error.

    Raises
    ------
    NotAllowedError
        Anything else, "8,150" included, because its mark could mean thousands or decimals.
    """
    written = text.strip()
    if _GROUPED.fullmatch(written):
        bare, part = written.replace(",", "").replace(".", ""), written.replace(",", ".")
        step = phrase("Type {bare} for the first; for the second, two or four digits after the mark.", bare=bare)
        raise NotAllowedError(
            field,
            text,
            phrase("a number that reads one way: this could be {bare} or {part}", bare=bare, part=marked(part)),
            step,
        )
    if not _NUMBER.fullmatch(written) or len(written) > LONGEST_NUMBER:
        raise NotAllowedError(
            field,
            text or phrase("nothing"),
            phrase(
                "a number of 0 or more, such as {whole} or {as_figure}",
                whole=as_figure(example, "g"),
                as_figure=as_figure(example + 0.5, "g"),
            ),
            "Type a number.",
        )
    number = float(written.replace(",", "."))
    if not math.isfinite(number):
        raise NotAllowedError(field, text, "a finite number", "Type the number again.")
    return number


def hours_of(text: str, field: str = in_english("hours")) -> float:
    """Hours of a meter or a plan: a number of 0 or more."""
    return number_of(text, field, 8150.0)


def count_of(text: str, field: str, allowed: str = in_english("a whole number")) -> int:
    """A whole number of 0 or more, up to six digits."""
    if not _COUNT.fullmatch(text.strip()):
        raise NotAllowedError(field, text or phrase("nothing"), allowed, "Type a whole number.")
    return int(text)


def date_of(text: object, field: str = "date") -> dt.date:
    """A day written as YYYY-MM-DD; a time of day after it, as a workbook's clock puts there, is left out."""
    try:
        if isinstance(text, str) and (found := _DATE.fullmatch(text.strip())):
            return dt.date.fromisoformat(found[1])
    except ValueError:
        pass
    raise NotAllowedError(
        field, text or phrase("nothing"), "a day as YYYY-MM-DD, such as 2026-05-31", "Type the date so."
    )


def typed_length(text: str, unit: str, field: str) -> Typed:
    """A length as typed, with its value in metres; the unit is the one taken when none was typed."""
    if len(text) > LONGEST_FIGURE:
        raise NotAllowedError(
            field,
            text,
            phrase("a length in up to {longest_figure} characters", longest_figure=LONGEST_FIGURE),
            "Type it shorter.",
        )
    typed = parse_length(text, unit, field)
    if abs(typed.si) > LONGEST_LENGTH_M:
        raise NotAllowedError(
            field,
            text,
            phrase("a length up to {longest_length_m} m", longest_length_m=as_figure(LONGEST_LENGTH_M, "g")),
            "Check number and unit.",
        )
    return typed


def reads_back(typed: Typed, unit: str) -> bool:
    """Whether the text, read with this unit for want of another, gives the same again."""
    try:
        return typed_length(typed.text, unit, "length") == typed
    except NotAllowedError:
        return False


def meter_h_of(service_h: float, day: dt.date, changes: tuple[MeterChange, ...]) -> float | None:
    """What the meter showed that day [h], when it gives the same service hours again; None when it does not."""
    meter_h = service_h - service_hours(0.0, day, changes)
    if meter_h >= 0 and service_hours(meter_h, day, changes) == service_h:
        return meter_h
    return None


def length_of(entry: object, field: str = "length") -> float:
    """A length in metres from text with a unit, or from a bare number of millimetres."""
    if isinstance(entry, int | float) and not isinstance(entry, bool):
        if not abs(entry) <= LONGEST_LENGTH_M / METRES_PER_UNIT["mm"]:
            raise NotAllowedError(
                field,
                entry,
                phrase("a length up to {longest_length_m} m", longest_length_m=as_figure(LONGEST_LENGTH_M, "g")),
                "Check the number.",
            )
        return entry * METRES_PER_UNIT["mm"]
    if isinstance(entry, str):
        return typed_length(entry, "mm", field).si
    raise NotAllowedError(field, entry, "a length such as '105 mm', or a number of millimetres", "Type a length.")


def mass_of(entry: object, field: str = "mass") -> float:
    """A mass in kilograms from text with a unit, or from a bare number of kilograms."""
    if isinstance(entry, str) and len(entry) <= LONGEST_FIGURE:
        mass_kg = parse_mass(entry, "kg", field).si
    elif isinstance(entry, int | float) and not isinstance(entry, bool) and math.isfinite(min(entry, 10**300)):
        mass_kg = float(min(entry, 10**300))
    else:
        raise NotAllowedError(field, entry, "a mass such as '20.3 t', or a number of kilograms", "Type a mass.")
    if not 0 < mass_kg <= HEAVIEST_KG:
        raise NotAllowedError(
            field,
            entry,
            phrase("a mass above 0 up to {heaviest_kg} t", heaviest_kg=as_figure(HEAVIEST_KG / 1e3)),
            "Check the mass.",
        )
    return mass_kg


def text_of(text: str, field: str = "text") -> str:
    """The same text, when it holds nothing but characters that can be shown, at most 5,000."""
    wrong = _NOT_TEXT.search(text)
    if wrong:
        seen = phrase("character U+{code:04X}", code=ord(wrong[0]))
        raise NotAllowedError(field, seen, "text without control characters", "Type the text again.")
    if len(text) > LONGEST_TEXT:
        raise NotAllowedError(
            field,
            phrase("{text} characters", text=as_figure(len(text), ",")),
            phrase("up to {longest_text} characters", longest_text=as_figure(LONGEST_TEXT, ",")),
            "Shorten it.",
        )
    return text
