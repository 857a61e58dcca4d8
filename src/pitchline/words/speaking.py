"""A saying as a text: its sentence, with each value told as its kind is told."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from string import Formatter
from typing import Any

from pitchline.trade.calls import Call, Stake
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.consequences import FindingKind, Severity
from pitchline.trade.errors import Phrase
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType, MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import AS_WRITTEN, Saying
from pitchline.trade.units import INCH_M, UnitSystem, show_hours, show_length, show_mass
from pitchline.trade.work_done import Did
from pitchline.trade.writing import ENGLISH, as_day, as_figure, way_in_force
from pitchline.words.catalogue import counted, translated
from pitchline.words.english import sentence
from pitchline.words.labels import MONTHS, label, piece, plural, singular
from pitchline.words.names import A_MACHINE, EXAMPLES
from pitchline.words.places import kinds_in_words, places_in_words


def say(told: Saying | None) -> str:
    """A saying in the language and the way in force.

    Parameters
    ----------
    told : Saying or None
        What is to be said.

    Returns
    -------
    str
        Its sentence; empty for None. What was read from a file is said in English as it was written there.

    Raises
    ------
    KeyError
        There is no sentence for its code, or a value of it is missing.
    """
    if told is None:
        return ""
    if told.code == AS_WRITTEN or (told.text and way_in_force().language == ENGLISH):
        return told.text
    return rendered(sentence(told.code), told.values)


def rendered(words: str | tuple[str, str], values: Mapping[str, Any]) -> str:
    """A sentence with its values.

    Parameters
    ----------
    words : str or (str, str)
        In English; of one and of several, where it counts by its value `n`.
    values : mapping
        Plain values by name.
    """
    text = counted(*words, values["n"]) if isinstance(words, tuple) else translated(words)
    return _SPEAKER.vformat(text, (), values)


def worded(text: str, /, **values: Any) -> str:
    """A text of its own with its values, in the language in force.

    Parameters
    ----------
    text : str
        In English, values in braces as in a table's sentence.
    **values
        Texts and whole numbers as they are shown, or plain values whose kind stands behind the colon.

    Examples
    --------
    >>> worded("{share:percent} of {name}", share=0.4, name="Rowan")
    '40 % of Rowan'
    """
    return _SHOWN.vformat(translated(text), (), values)


def phrase_said(phrase: Phrase) -> str:
    """A text of a refusal with its values."""
    pattern = translated(phrase.english)
    codes = {
        name for _, name, kind, _ in _SHOWN.parse(pattern) if kind
    }  # what has a kind is told by it, not looked up
    told = {
        name: translated(value) if type(value) is Phrase or (type(value) is str and name not in codes) else value
        for name, value in phrase.values.items()
    }
    return _SHOWN.vformat(pattern, (), told)


class _Speaker(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        kind = KINDS.get(format_spec)
        if kind is not None:
            return kind(value)
        if isinstance(value, Saying):
            return say(value)
        if isinstance(value, int | float) and not isinstance(value, bool):
            return as_figure(value, format_spec or ",.0f")
        return "" if value is None else str(value)

    def convert_field(self, value: Any, conversion: str | None) -> Any:
        return value


class _Shown(_Speaker):
    def format_field(self, value: Any, format_spec: str) -> str:
        return super().format_field(value, format_spec) if format_spec else str(value)


_SPEAKER, _SHOWN = _Speaker(), _Shown()


def capital(text: str) -> str:
    """A text with a capital first."""
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """A text with a small letter first."""
    return text[:1].lower() + text[1:]


def in_a_hundred(chance: float) -> str:
    """A chance in words.

    Parameters
    ----------
    chance : float
        From 0 to 1 [1].

    Examples
    --------
    >>> in_a_hundred(0.64), in_a_hundred(0.999), in_a_hundred(0.001)
    ('64 in 100', 'over 99 in 100', 'under 1 in 100')
    """
    if chance > 0.99:
        return translated("over 99 in 100")
    if chance < 0.01:
        return translated("under 1 in 100")
    return translated("{n} in 100").format(n=f"{chance * 100:.0f}")


def _listed(texts: Sequence[str]) -> str:
    """Such as "a, b and c"."""
    if len(texts) < 2:
        return "".join(texts)
    return translated("{most} and {last}").format(most=", ".join(texts[:-1]), last=texts[-1])


def _said(sayings: Sequence[Any]) -> list[str]:
    return [said for each in sayings if (said := say(each) if isinstance(each, Saying) else str(each))]


def _length(millimetres: int | None = None, inches: int | None = None) -> Callable[[float], str]:
    """A length with so many decimals."""

    def told(size_m: float) -> str:
        units = way_in_force().units
        return show_length(size_m, units, millimetres if units is UnitSystem.METRIC else inches)

    return told


def _few_digits(length_m: float, system: UnitSystem, unit_m: float, least: int) -> str:
    """A length with one decimal more than the fewest usual ones where it needs it."""
    is_round = abs(round(length_m / unit_m, least) - length_m / unit_m) < 1e-7
    return show_length(length_m, system, least if is_round else least + 1)


def _long_day(day: str) -> str:
    date = dt.date.fromisoformat(day)
    return f"{date.day} {translated(MONTHS[date.month - 1])} {date.year}"


def _tenths(amount: float) -> str:
    return as_figure(amount, ".0f" if round(amount, 1) == round(amount) else ".1f")


def _places(keys: Sequence[str]) -> str:
    return places_in_words(tuple(Place.from_key(key) for key in keys))


def _of_ground(room: str, kind: str) -> Callable[[str], str]:
    """A word of ground fit, whose rooms are loaded when one is said: they are much to wait for."""
    return lambda value: label(getattr(import_module(f"pitchline.ground.{room}"), kind)(value))


def _ends(scale: float, decimals: int) -> Callable[[Sequence[float]], str]:
    """Both ends of a range as figures of a unit, one where they read alike."""

    def told(ends: Sequence[float]) -> str:
        low, high = (as_figure(end * scale, f".{decimals}f").replace("-", "−") for end in ends)
        return low if low == high else translated("{low} to {high}").format(low=low, high=high)

    return told


def listed(words: Sequence[str]) -> str:
    """Names of grounds and the like as a list for reading, such as "clay, peat and rock"."""
    return _listed([translated(word) for word in words])


def _ground_like(name: str) -> str:
    ground = GroundClass[name.upper()]
    return f"{label(ground)} ({translated(EXAMPLES[ground])})"


KINDS: dict[str, Callable[[Any], str]] = {
    "hours": show_hours,
    "tenths": _tenths,
    "labour": lambda hours_h: f"{_tenths(hours_h)}\N{NO-BREAK SPACE}h",
    "percent": lambda share: f"{as_figure(100 * max(0.0, share))} %",
    "percent1": lambda share: f"{as_figure(100 * share, '.1f')} %",
    "percent_g": lambda share: f"{as_figure(100 * share, '.3g')} %",
    "percent_bare": lambda share: as_figure(100 * share),
    "in_a_hundred": in_a_hundred,
    "hours_bare": lambda hours_h: show_hours(hours_h).removesuffix(" h"),
    "small_length": lambda size_m: _length(1, 3)(size_m),
    "fine_length": lambda size_m: _length(2, 3)(size_m),
    "length": _length(),
    "millimetres": show_length,
    "few_millimetres": lambda size_m: _few_digits(size_m, UnitSystem.METRIC, 1e-3, 1),
    "few_inches": lambda size_m: _few_digits(size_m, UnitSystem.IMPERIAL, INCH_M, 2),
    "rough_length": lambda size_m: _length(0, 1)(size_m),
    "mass": lambda mass_kg: show_mass(mass_kg, way_in_force().units),
    "day": lambda day: as_day(dt.date.fromisoformat(day)),
    "long_day": _long_day,
    "place": lambda key: label(Place.from_key(key)),
    "places": _places,
    "part": lambda part: singular(PartKind(part)),
    "parts": lambda part: plural(PartKind(part)),
    "Place": lambda key: capital(label(Place.from_key(key))),
    "Places": lambda keys: capital(_places(keys)),
    "shod": lambda keys: _places(keys).replace(plural(PartKind.SHOE), translated("track"), 1),
    "kinds": lambda kinds: kinds_in_words(
        [(whole, [Place.from_key(key) for key in keys]) for whole, keys in kinds]
    ),
    "places_listed": lambda keys: "; ".join(label(Place.from_key(key)) for key in keys),
    "quantities": lambda measurands: ", ".join(label(Measurand(one)) for one in measurands),
    "jobs": lambda jobs: ", ".join(label(JobKind(one)) for one in jobs),
    "each_listed": lambda parts: ", ".join(singular(PartKind(part)) for part in parts),
    "parts_listed": lambda parts: ", ".join(plural(PartKind(part)) for part in parts),
    "piece": lambda part: piece(PartKind(part)),
    "side": lambda side: label(Side(side)),
    "Side": lambda side: capital(label(Side(side))),
    "job": lambda kind: label(JobKind(kind)),
    "did": lambda did: label(Did(did)),
    "call": lambda call: label(Call(call)),
    "stake": lambda stake: label(Stake(stake)),
    "finding": lambda kind: label(FindingKind(kind)),
    "cause": lambda cause: label(Cause(cause)),
    "sign": lambda sign: capital(label(Sign(sign))),
    "cause_list": lambda causes: "; ".join(label(Cause(one)) for one in causes),
    "severity": lambda severity: label(Severity(severity)),
    "part_size": lambda size: label(PartSize(size)),
    "part_sizes": lambda sizes: ", ".join(label(PartSize(one)) for one in sizes),
    "quantity": lambda measurand: label(Measurand(measurand)),
    "Quantity": lambda measurand: capital(label(Measurand(measurand))),
    "wear_class": lambda ground: label(GroundClass[ground.upper()]),
    "ground_examples": lambda name: translated(EXAMPLES[GroundClass[name.upper()]]),
    "ground_like": _ground_like,
    "ground_mix": lambda mix: ", ".join(
        f"{as_figure(share, '.3g')} % {label(GroundClass[ground.upper()])}" for share, ground in mix
    ),
    "a_machine": lambda kind: translated(A_MACHINE[MachineKind(kind)]),
    "going": _of_ground("going", "Going"),
    "ground": translated,
    "tool": translated,
    "grounds": listed,
    "soils": lambda names: ", ".join(translated(name) for name in names),
    "shoe_kind": _of_ground("shoes", "ShoeKind"),
    "thumb": _of_ground("describe", "ThumbTest"),
    "boot": _of_ground("describe", "BootTest"),
    "thousands": lambda figure: as_figure(figure / 1e3, "g"),
    "whole_thousands": lambda figure: as_figure(figure / 1e3, ".0f"),
    "range_0": _ends(1.0, 0),
    "range_2": _ends(1.0, 2),
    "range_3": _ends(1.0, 3),
    "range_thousands_0": _ends(1e-3, 0),
    "range_thousands_1": _ends(1e-3, 1),
    "chain_type": lambda chain: label(ChainType(chain)),
    "and": lambda sayings: _listed(_said(sayings)),
    "all_of": lambda sayings: translated(" and ").join(_said(sayings)),
    "which_and": lambda sayings: translated(", and ").join(_said(sayings)),
    "commas": lambda sayings: ", ".join(_said(sayings)),
    "also": lambda sayings: "; ".join(_said(sayings)),
    "then": lambda sayings: " ".join(_said(sayings)),
    "capital": lambda told: capital(say(told) if isinstance(told, Saying) else str(told)),
    "small": lambda told: small(say(told)),
}
"""How each kind of value is told; behind the colon in a sentence's braces."""
