"""Conversions between what people type and the SI values inside; the only file that knows an inch.

Source of the factors: the international yard and pound agreement of 1959 (inch 25.4 mm, pound 0.45359237 kg), exact; psi and hp
(550 ft lbf/s) by them and standard gravity, 9.80665 m/s², exact too; PS is 75 kgf m/s.
"""

import math
import re
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.writing import UnitSystem as UnitSystem
from pitchline.trade.writing import as_figure

INCH_M = 0.0254
POUND_KG = 0.45359237
METRES_PER_UNIT = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": INCH_M, "ft": 12 * INCH_M}
KILOGRAMS_PER_UNIT = {"kg": 1.0, "t": 1000.0, "lb": POUND_KG}
_GRAVITY = 9.80665
PASCALS_PER_UNIT = {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "psi": POUND_KG * _GRAVITY / INCH_M**2}
WATTS_PER_UNIT = {"W": 1.0, "kW": 1e3, "hp": 550 * 12 * INCH_M * POUND_KG * _GRAVITY, "PS": 75 * _GRAVITY}
_KINDS_OF_UNIT = (METRES_PER_UNIT, KILOGRAMS_PER_UNIT, PASCALS_PER_UNIT, WATTS_PER_UNIT)
DAYS_PER_WEEK = 7.0

UNIT_SPELLINGS = {
    '"': "in",
    "”": "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "′": "ft",
    "lbs": "lb",
    "kgs": "kg",
}
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_QUANTITY = re.compile(
    rf"^\s*(?P<whole>{_NUMBER})?(?:(?(whole)[\s-]+|)(?P<num>\d+)\s*/\s*(?P<den>\d+))?\s*(?P<unit>[^\d\s.,/+-]*)\.?\s*$"
)
_THOUSAND, _THREE_DIGITS = re.compile(r"[+-]?\d{1,3}[.,]000"), re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")
_NEVER = re.compile(r"(?!)")
_DOUBTFUL_MARK = {
    "mm": _THOUSAND,
    "kg": _THREE_DIGITS,
    "lb": _THREE_DIGITS,
    **dict.fromkeys(("cm", "m", "in", "ft", "t"), _NEVER),
}
"""What could be a thousands mark in each unit: nobody types a machine's mass to the gram, but 2.375 in is an everyday size."""
_GROUPED = re.compile(r"(?<=\d)[\u00a0\u202f](?=\d{3}(?!\d))")


@dataclass(frozen=True, slots=True)
class Typed:
    """A quantity as it was typed, beside its SI value.

    Parameters
    ----------
    text : str
        Exactly what was typed.
    unit : str
        The unit it was read in.
    si : float
        The value in SI [m or kg].
    """

    text: str
    unit: str
    si: float


def _with_unit(factors: dict[str, float]) -> Phrase:
    units = ", ".join(factors)
    if factors is METRES_PER_UNIT:
        such = as_figure(187.4, "g")
        return phrase(
            "a number with one of the units {units}, such as {such} mm or 2 3/8 in", units=units, such=such
        )
    such = as_figure(21.5, "g")
    return phrase("a number with one of the units {units}, such as {such} t or 21500 kg", units=units, such=such)


def _number(text: str, field: str, default_unit: str, factors: dict[str, float]) -> Typed:
    cleaned = _GROUPED.sub("", text.strip())
    match = _QUANTITY.match(cleaned)
    if match is None or (match["whole"] is None and match["num"] is None):
        raise NotAllowedError(field, text, _with_unit(factors), "Type the number again with its unit.")
    if match["whole"] and match["num"] and re.search(r"[.,]", match["whole"]):
        raise NotAllowedError(
            field,
            text,
            "a whole number before a fraction",
            phrase("Type it as 2 3/8 in or {as_figure} in.", as_figure=as_figure(2.375, "g")),
        )
    written = match["unit"].lower()
    unit = UNIT_SPELLINGS.get(written, written) or default_unit
    if unit not in factors:
        raise NotAllowedError(field, text, _with_unit(factors), "Use one of these units.")
    if match["whole"] and _DOUBTFUL_MARK[unit].fullmatch(match["whole"]):
        raise NotAllowedError(
            field,
            text,
            "a number whose decimal mark cannot be taken for a thousands mark",
            "Type it without the mark.",
        )
    amount = float(match["whole"].replace(",", ".")) if match["whole"] else 0.0
    if match["num"]:
        if float(match["den"]) == 0:
            raise NotAllowedError(field, text, "a fraction whose lower number is not 0", "Correct the fraction.")
        amount += math.copysign(float(match["num"]) / float(match["den"]), amount)
    if not math.isfinite(amount):
        raise NotAllowedError(field, text, "a finite number", "Type the number again.")
    return Typed(text, unit, amount * factors[unit])


_FIGURE_IN = re.compile(r"(?P<figure>.*\d[.,]?)\s*(?P<unit>[^\W\d_]+|[%°\"”″'′])\.?")
_OTHER_SPELLINGS = {"°": "degrees", "deg": "degrees", "degree": "degrees", "hours": "h", "hour": "h", "hrs": "h"}


def figure_in(text: str, unit: str) -> tuple[str, float]:
    """The figure of a text, and what it is multiplied with to be in a unit.

    Parameters
    ----------
    text : str
        As typed, with a unit behind the figure or without.
    unit : str
        The unit wanted, taken where none was typed; empty for a bare number.

    Returns
    -------
    tuple of (str, float)
        The factor [1]. The text as it is, and 1, where its unit is of another kind: so it is no number, for whoever reads it.

    Examples
    --------
    >>> figure_in("14 t", "kg"), figure_in("2,5", "m"), figure_in("14 t", "m")
    (('14', 1000.0), ('2,5', 1.0), ('14 t', 1.0))
    """
    found = _FIGURE_IN.fullmatch(text.strip())
    if found is None:
        return text, 1.0
    said = found["unit"].lower()
    said = _OTHER_SPELLINGS.get(said) or UNIT_SPELLINGS.get(said, said)
    for factors in _KINDS_OF_UNIT:
        known = {name.lower(): factor for name, factor in factors.items()}
        if unit in factors and said in known:
            return found["figure"], known[said] / factors[unit]
    return (found["figure"], 1.0) if said == unit.lower() else (text, 1.0)


def units_beside(unit: str) -> tuple[str, ...]:
    """The units a figure may be typed in where this one is wanted; empty where there is no other."""
    return next((tuple(factors) for factors in _KINDS_OF_UNIT if unit in factors), ())


def parse_length(text: str, default_unit: str = "mm", field: str = "length") -> Typed:
    """A typed length in metres.

    Parameters
    ----------
    text : str
        Such as "187.4 mm", "187,4", "2 3/8 in", '7.5"'. Decimal point or comma.
    default_unit : str
        Unit taken when none was typed: mm, cm, m, in or ft.
    field : str
        Name used in the error.

    Returns
    -------
    Typed
        The text kept as it was, its unit, and the value [m], any sign.

    Raises
    ------
    NotAllowedError
        The text is not a number with one of the known units.

    References
    ----------
    Definition; 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

    Examples
    --------
    >>> round(parse_length("2 3/8 in").si, 7)
    0.060325
    >>> round(parse_length("11/32 in").si, 7)
    0.0087312
    >>> parse_length("187,4").si
    0.1874
    """
    return _number(text, field, default_unit, METRES_PER_UNIT)


def parse_mass(text: str, default_unit: str = "kg", field: str = "mass") -> Typed:
    """A typed mass in kilograms.

    Parameters
    ----------
    text : str
        Such as "20.3 t" or "21500 kg"; "47,400 lb" is refused: no thousands marks.
    default_unit : str
        Unit taken when none was typed: kg, t or lb.
    field : str
        Name used in the error.

    Returns
    -------
    Typed
        The text kept as it was, its unit, and the value [kg].

    Raises
    ------
    NotAllowedError
        The text is not a number with one of the known units.

    References
    ----------
    Definition; 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959).

    Examples
    --------
    >>> parse_mass("21.5 t").si
    21500.0
    """
    return _number(text, field, default_unit, KILOGRAMS_PER_UNIT)


def show_length(
    length_m: float, system: UnitSystem = UnitSystem.METRIC, digits: int | None = None, grouped: bool = False
) -> str:
    """A length in words for reading.

    Parameters
    ----------
    length_m : float
        Length [m], any sign.
    system : UnitSystem
        Metric shows mm, imperial shows inches.
    digits : int or None
        Decimals; by default 1 for mm and 2 for inches, one more below 1 mm or 0.1 in, as a dial gauge reads.
    grouped : bool
        Whether thousands are marked.

    Examples
    --------
    >>> show_length(0.1874)
    '187.4 mm'
    >>> show_length(0.1874, UnitSystem.IMPERIAL)
    '7.38 in'
    >>> show_length(0.00064), show_length(0.00064, UnitSystem.IMPERIAL)
    ('0.64 mm', '0.025 in')
    """
    unit_m, said, usual, fine = (INCH_M, "in", 2, 0.1) if system is UnitSystem.IMPERIAL else (1e-3, "mm", 1, 1.0)
    size = length_m / unit_m
    places = usual + (0 < abs(size) < fine) if digits is None else digits
    return as_figure(size, f"{',' if grouped else ''}.{places}f") + f" {said}"


_FINE_M = 0.5e-3


def show_doubt(expanded_u_m: float, system: UnitSystem = UnitSystem.METRIC) -> str:
    """The half-width of a reading's 95 % range in words for reading, finer where it is small.

    Parameters
    ----------
    expanded_u_m : float
        Half-width [m].
    system : UnitSystem
        Metric shows mm, imperial shows inches.

    Examples
    --------
    >>> show_doubt(0.0014), show_doubt(0.00012), show_doubt(0.0014, UnitSystem.IMPERIAL)
    ('± 1.4 mm', '± 0.12 mm', '± 0.06 in')
    """
    coarse = 1 if system is UnitSystem.METRIC else 2
    return "± " + show_length(expanded_u_m, system, coarse + (expanded_u_m < _FINE_M))


def show_mass(mass_kg: float, system: UnitSystem = UnitSystem.METRIC) -> str:
    """A mass in words for reading.

    Parameters
    ----------
    mass_kg : float
        Mass [kg], above zero.
    system : UnitSystem
        Metric shows tonnes from 1000 kg, imperial shows pounds.

    Examples
    --------
    >>> show_mass(21500.0)
    '21.5 t'
    """
    if system is UnitSystem.IMPERIAL:
        return f"{as_figure(mass_kg / POUND_KG)} lb"
    return f"{as_figure(mass_kg / 1000, '.1f')} t" if mass_kg >= 1000 else f"{mass_kg:.0f} kg"


def show_hours(hours_h: float) -> str:
    """Hours rounded as far as they can be trusted, for reading.

    Parameters
    ----------
    hours_h : float
        Service hours [h], zero or more.

    Returns
    -------
    str
        To the ten below 1000 h, to the fifty below 5000 h, to the hundred above.

    Examples
    --------
    >>> show_hours(1234.0)
    '1,250 h'
    """
    return f"{as_figure(rounded_hours(hours_h), ',')} h"


def rounded_hours(hours_h: float) -> int:
    """Hours as far as they can be trusted.

    Parameters
    ----------
    hours_h : float
        Service hours [h], zero or more.
    """
    step = 10 if hours_h < 1000 else 50 if hours_h < 5000 else 100
    return round(hours_h / step) * step
