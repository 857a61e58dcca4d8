"""What the address asks: text as typed becomes grounds, a task, shoes and known sizes, with every problem at once."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, TypeVar

from pitchline.desk.posts import Question, choice, figure, words
from pitchline.desk.spoken import later
from pitchline.desk.thousands import figure_text
from pitchline.ground.describe import (
    MOISTURES,
    OPEN_NAMES,
    BootTest,
    ThumbTest,
    ground_named,
    unknown_ground,
    with_cone,
    with_test,
    with_vane,
)
from pitchline.ground.going import Task
from pitchline.ground.shoes import MixPart, ShoeKind, ShoeOffer
from pitchline.ground.soils import GROUNDS, Ground
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.trade.units import figure_in, units_beside
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated
from pitchline.words.names import named

T = TypeVar("T")
MOST_GROUNDS, MOST_SHOES = 4, 8
GROUND_ENDS = {"" if number == 1 else str(number): number for number in range(1, MOST_GROUNDS + 1)}
"""How the fields of each ground end, by its number."""
SIZES: tuple[tuple[str, str, str, str, float, float, float], ...] = (
    ("mass", "mass_kg", later("Operating mass"), "kg", 1.0, 200.0, 1e6),
    ("contact_length", "level_length_m", later("Contact length"), "m", 1.0, 0.3, 15.0),
    ("track_gauge", "centres_m", later("Track gauge"), "m", 1.0, 0.3, 10.0),
    ("gravity_height", "gravity_height_m", later("Height of the centre of gravity"), "m", 1.0, 0.1, 10.0),
    ("clearance", "clearance_m", later("Ground clearance"), "m", 1.0, 0.02, 3.0),
    ("power", "power_w", later("Engine power"), "kW", 1e3, 1.0, 5000.0),
)
"""Name in the address, field, label, unit, to SI, least and most."""
SOILS = tuple(dict.fromkeys([*OPEN_NAMES, *GROUNDS]))
"""Grounds to pick from: names that leave the moisture open first, then every name."""


class GroundForm(Question):
    """What the address says, as typed; what a figure may be is said where it is read."""

    moisture = choice(later("Moisture"), ((name, later(name)) for name in MOISTURES))
    thumb = choice(later("Thumb test"), ((one, later(named(one))) for one in ThumbTest))
    boot = choice(later("Boot test"), ((one, later(named(one))) for one in BootTest))
    kind = choice(later("Kind of shoe"), ((one, later(named(one))) for one in ShoeKind))
    cone, remould, vane = figure(later("Cone index")), figure(later("Remould index")), figure(later("Hand vane"))
    slope, load, reach = figure(later("Slope")), figure(later("Load")), figure(later("Reach"))
    shoes, beside = words(later("Shoe widths")), words(later("Machine beside it"))

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields |= {name: figure(label) for name, _, label, *_ in SIZES}
        for end, number in GROUND_ENDS.items():
            self.fields[f"soil{end}"] = choice(
                translated("Ground {number}").format(number=number), ((name, later(name)) for name in SOILS)
            )
            self.fields[f"share{end}"] = figure(translated("Share of ground {number}").format(number=number))


@dataclass(slots=True)
class GroundQuestion:
    """What was asked, as far as it could be read.

    Parameters
    ----------
    form : GroundForm
        The fields that are known.
    typed : mapping of str to str
        The text of every field.
    numbers : str
        How the business writes numbers.
    mix : tuple of MixPart
        Grounds; empty where none was named or tested.
    task : Task
        Load and slope.
    offers : tuple of ShoeOffer or None
        Shoes on offer; None where none were named.
    sizes : dict of str to float
        Sizes known [SI], by field.
    measured : bool
        Whether those were measured.
    problems : list of Problem
        What could not be read.
    """

    form: GroundForm
    typed: Mapping[str, str]
    numbers: str = "point"
    mix: tuple[MixPart, ...] = ()
    task: Task = field(default_factory=Task)
    offers: tuple[ShoeOffer, ...] | None = None
    sizes: dict[str, float] = field(default_factory=dict)
    measured: bool = False
    problems: list[Problem] = field(default_factory=list)

    def attempt(self, read: Callable[[], T], otherwise: T) -> T:
        """What is read, or the other where it cannot be; the problem is kept."""
        try:
            return read()
        except NotAllowedError as error:
            self.problems.append(error.problem)
            return otherwise

    def text(self, name: str) -> str:
        """What stands in a field that can be used."""
        return self.form.usable(name)

    def number(self, name: str, least: float, most: float, unit: str) -> float | None:
        """A number as typed, with a point or a comma; None where nothing was."""
        text, label = self.text(name), str(self.form.fields[name].label)
        return self.attempt(lambda: _number(label, text, self.numbers, least, most, unit), None) if text else None


def _number(label: str, text: str, numbers: str, least: float, most: float, unit: str) -> float:
    figure, factor = figure_in(text, unit)
    try:
        found = float(figure_text(figure, numbers, least / factor, most / factor).replace(",", ".")) * factor
    except ValueError:
        found = math.nan
    if not least <= found <= most:
        allowed = (
            translated("a number from {least} to {most} {unit}")
            .format(least=as_figure(least, ",.10g"), most=as_figure(most, ",.10g"), unit=translated(unit))
            .strip()
        )
        if beside := units_beside(unit):
            allowed = translated("{allowed}, or with one of the units {units}").format(
                allowed=allowed, units=", ".join(beside)
            )
        raise NotAllowedError(label, text[:60], allowed, "Type it again.")
    return found


def asked_of(address: Mapping[str, str], kind: ShoeKind, numbers: str) -> GroundQuestion:
    """What an address asks.

    Parameters
    ----------
    address : mapping of str to str
        Names and text.
    kind : ShoeKind
        Kind of shoe the machine has fitted, for widths that name none.
    numbers : str
        How the business writes numbers.

    Returns
    -------
    GroundQuestion
        With every problem; nothing is raised.
    """
    if "track_gauge" not in address and "track_centres" in address:  # as it was called before
        address = dict(address) | {"track_gauge": address["track_centres"]}
    form = GroundForm(address)
    asked = GroundQuestion(form, address, numbers, problems=list(form.problems))
    asked.mix = _mix(asked)
    asked.task = _task(asked)
    asked.offers = _offers(asked, kind)
    for name, size, _, unit, scale, least, most in SIZES:
        found = asked.number(name, least, most, unit)
        if found is not None:
            asked.sizes[size] = found * scale
    asked.measured = asked.typed.get("measured") == "1"
    return asked


def _mix(asked: GroundQuestion) -> tuple[MixPart, ...]:
    moisture = asked.text("moisture") or None
    named = _named(asked, moisture)
    tests = _tests(asked)
    if tests and len(named) > 1:
        seen = ", ".join(ground.name for ground, _ in named)
        asked.problems.append(
            Problem("Grounds with a test", seen, "one ground where it was tested", "Name one ground.")
        )
        return ()
    if not named and not tests:
        return ()
    grounds = named or [(unknown_ground(in_english("the tested ground")), None)]
    if tests:
        ground = grounds[0][0]
        for test in tests:
            before = ground
            ground = asked.attempt(lambda test=test, before=before: test(before), before)  # type: ignore[misc]
        grounds = [(ground, None)]
    return _shared(asked, grounds)


def _named(asked: GroundQuestion, moisture: str | None) -> list[tuple[Ground, float | None]]:
    found: list[tuple[Ground, float | None]] = []
    for end in GROUND_ENDS:
        name, share = asked.text(f"soil{end}"), asked.number(f"share{end}", 0.1, 100.0, "%")
        if name:
            found.append((ground_named(name, moisture), share))
    return found


def _shared(asked: GroundQuestion, grounds: list[tuple[Ground, float | None]]) -> tuple[MixPart, ...]:
    """Shares that make the whole year; those left empty take the rest in equal parts."""
    names = [ground.name for ground, _ in grounds]
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        asked.problems.append(
            Problem(
                "Grounds", translated("{twice} twice").format(twice=twice[0]), "each once", "Add their shares up."
            )
        )
        return ()
    empty = sum(share is None for _, share in grounds)
    left = 100.0 - sum(share or 0.0 for _, share in grounds)
    if (empty and left <= 0) or (not empty and abs(left) > 0.01):
        told = f"{as_figure(100 - left, 'g')} %" + (translated(" and one more") if empty else "")
        asked.problems.append(Problem("Shares of the year", told, "100 % together", "Correct one of them."))
        return ()
    shares = [left / empty if share is None else share for _, share in grounds]
    return tuple(MixPart(ground, share / sum(shares)) for (ground, _), share in zip(grounds, shares, strict=True))


def _tests(asked: GroundQuestion) -> list[Callable[[Ground], Ground]]:
    found: list[Callable[[Ground], Ground]] = []
    cone = asked.number("cone", 0.0, 300.0, "")
    remould = asked.number("remould", 0.01, 2.0, "")
    if remould is not None and not asked.typed.get("cone", "").strip():
        asked.problems.append(
            Problem(
                "Remould index",
                as_figure(remould, "g"),
                "together with a cone index",
                "Type the cone index too.",
            )
        )
    if cone is not None:
        found.append(lambda ground: with_cone(ground, cone, remould))
    if boot := asked.text("boot"):
        found.append(lambda ground: with_test(ground, BootTest(boot)))
    if thumb := asked.text("thumb"):
        found.append(lambda ground: with_test(ground, ThumbTest(thumb)))
    vane = asked.number("vane", 0.5, 999.0, "kPa")
    if vane is not None:
        found.append(lambda ground: with_vane(ground, vane * 1e3))
    return found


def _task(asked: GroundQuestion) -> Task:
    slope = asked.number("slope", 0.0, 59.0, in_english("degrees")) or 0.0
    load = asked.number("load", 0.0, 500_000.0, "kg") or 0.0
    reach = asked.number("reach", 0.1, 60.0, "m")
    if load and reach is None and not asked.typed.get("reach", "").strip():
        asked.problems.append(
            Problem(
                "Reach",
                translated("nothing"),
                "a number of metres, with a load",
                "Say how far out the load hangs.",
            )
        )
    return Task(load, reach or 0.0 if load else 0.0, slope)


def _offers(asked: GroundQuestion, fitted: ShoeKind) -> tuple[ShoeOffer, ...] | None:
    text, kind = asked.text("shoes"), ShoeKind(asked.text("kind") or fitted)
    if not text:
        return None
    widths = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
    if len(widths) > MOST_SHOES:
        asked.problems.append(
            Problem(
                "Shoe widths",
                translated("{n} widths").format(n=len(widths)),
                translated("up to {most}").format(most=MOST_SHOES),
                "Leave some out.",
            )
        )
        return None
    number = partial(_number, in_english("Shoe width"), numbers=asked.numbers, least=100, most=2500, unit="mm")
    found = [asked.attempt(partial(number, one), None) for one in widths]
    return tuple(ShoeOffer(one / 1e3, kind) for one in dict.fromkeys(found) if one is not None)
