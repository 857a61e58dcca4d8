"""What the page of ground fit shows, put together from sections of the core; no figure is computed here."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from django.utils.safestring import SafeString

from pitchline.desk.drawing import SMALL, WIDE, inline
from pitchline.desk.groundfit.question import MOST_GROUNDS, GroundQuestion
from pitchline.ground.fit import with_width
from pitchline.ground.section import GroundSection
from pitchline.ground.shoes import MixPart
from pitchline.ground.spans import Basis
from pitchline.ground.standing import Standing, standing
from pitchline.ground.sweeps import SlipCurve, has_slip_curve, slip_curve
from pitchline.ground.two_machines import Beside, all_said, beside
from pitchline.judge.ground_fit import how_known, mix_of, section_of
from pitchline.papers.ground import shod_said, slew_of, sloped_ground, told_section
from pitchline.papers.ground_answer import hire_said
from pitchline.picture.ground_going import going_svg
from pitchline.picture.ground_slew import slew_svg
from pitchline.picture.ground_slip import slip_svg
from pitchline.picture.ground_slope import slope_svg
from pitchline.trade.dossier import Dossier
from pitchline.trade.saying import saying
from pitchline.words import say, translated, worded

PREFIXES = tuple(f"{name}{small}" for name in ("going", "slew", "slip", "slope") for small in ("", "small"))
ASKED = saying("ground.as_asked")


@dataclass(frozen=True, slots=True)
class Picture:
    """One drawing at two widths."""

    wide: SafeString
    small: SafeString
    title: str


@dataclass(frozen=True, slots=True)
class Other:
    """Another machine on the same grounds."""

    name: str
    answer: str
    said: str
    lines: tuple[Beside, ...]


@dataclass(frozen=True, slots=True)
class GroundPage:
    """The page's results.

    Parameters
    ----------
    told : dict
        Words and tables, as the paper tells them.
    pictures : tuple of Picture
        Going, pressure under both tracks, pull against slip, slopes; those that there are.
    other : Other or None
        Another machine beside it.
    """

    told: dict[str, object]
    pictures: tuple[Picture, ...]
    other: Other | None


def ground_page(
    dossier: Dossier, name: str, asked: GroundQuestion, other: Dossier | None, other_name: str
) -> GroundPage:
    """What is shown for what was asked.

    Raises
    ------
    NotAllowedError
        What the core refuses.
    """
    machine = _known(standing(dossier.machine, dossier.gear), asked)
    mix = asked.mix or mix_of(dossier)
    entered = bool(asked.mix) or bool(dossier.ground_mix)
    how = ASKED if asked.mix else how_known(dossier)
    section = section_of(machine, dossier.gear, mix, entered, how, asked.task, asked.offers)
    compared = None
    if other is not None:
        theirs = section_of(
            standing(other.machine, other.gear), other.gear, mix, entered, how, asked.task, offers=()
        )
        names = _short(name, other_name)
        lines = beside((section, theirs), names)
        compared = Other(
            other_name, hire_said(lines, (section, theirs), names), say(all_said(lines, names)), lines
        )
    return GroundPage(told_section(section, MOST_GROUNDS), _pictures(machine, section, mix, asked, name), compared)


def _short(*names: str) -> tuple[str, ...]:
    """Names up to their first comma, where that still tells them apart."""
    short = tuple(name.split(",")[0].strip() for name in names)
    return short if all(short) and len(set(short)) == len(names) else names


def _known(machine: Standing, asked: GroundQuestion) -> Standing:
    return machine.with_figures(Basis.MEASURED if asked.measured else Basis.LISTED, **asked.sizes)


def _pictures(
    machine: Standing, section: GroundSection, mix: tuple[MixPart, ...], asked: GroundQuestion, name: str
) -> tuple[Picture, ...]:
    sloped = sloped_ground(section)
    shod = shod_said(name, section.shoe_width_m)

    def going(wide: int, prefix: str) -> str:
        return going_svg(section.grounds, shod, wide, prefix=prefix)

    def slopes(wide: int, prefix: str) -> str:
        on = worded("{name} on {ground}", name=name, ground=translated(sloped.name))
        return slope_svg(sloped, section.outline, asked.task.slope_deg, on, wide, prefix=prefix)

    found = [_drawn(translated("Going by ground"), "going", going)]
    sweep, curves = slew_of(section), _curves(machine, mix, asked)
    if sweep is not None:
        turning, title = sweep, f"{name}, {say(section.task)}"
        found.append(
            _drawn(
                translated("Pressure under both tracks as the upper structure turns"),
                "slew",
                lambda wide, prefix: slew_svg(turning, title, wide, prefix=prefix),
            )
        )
    if curves:
        on = worded("{name} on {ground}", name=name, ground=translated(_bracketed(mix).ground.name))
        found.append(
            _drawn(
                translated("Pull against slip"),
                "slip",
                lambda wide, prefix: slip_svg(curves, on, wide, prefix=prefix),
            )
        )
    return (*found, _drawn(translated("Slope limits"), "slope", slopes))


def _drawn(title: str, prefix: str, draw: Callable[[int, str], str]) -> Picture:
    small = f"{prefix}small"
    return Picture(inline(draw(WIDE, prefix), prefix, {}), inline(draw(SMALL, small), small, {}), title)


def _bracketed(mix: tuple[MixPart, ...]) -> MixPart:
    """The first ground that tested soils bracket."""
    return next(part for part in mix if has_slip_curve(part.ground))


def _curves(
    machine: Standing, mix: tuple[MixPart, ...], asked: GroundQuestion
) -> tuple[tuple[str, SlipCurve], ...]:
    """Pull against slip as it is shod, and on up to two other widths on offer."""
    if machine.mass_kg is None or not any(has_slip_curve(part.ground) for part in mix):
        return ()
    own = machine.shoe_width_m.low
    widths = [own, *(offer.width_m for offer in asked.offers or () if offer.width_m != own)][:3]
    ground = _bracketed(mix).ground
    found = [
        (worded("{width_m:rough_length}", width_m=one), slip_curve(with_width(machine, one), ground, asked.task))
        for one in widths
    ]
    return tuple(
        (name, curve) for name, curve in found if curve is not None and np.isfinite(curve.pull[:, 1]).any()
    )
