"""The command `pitchline ground`: does a machine suit a ground, and which shoes should it wear."""

import argparse
import json
from pathlib import Path

import numpy as np

from pitchline.cli.ground_words import ground_json, ground_screen, rests_said
from pitchline.cli.streams import add_as, ending_of, write_out
from pitchline.exchange.machine_file import read_machine
from pitchline.ground.describe import (
    BootTest,
    ThumbTest,
    ground_named,
    unknown_ground,
    with_cone,
    with_test,
    with_vane,
)
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Task
from pitchline.ground.outcomes import Outcome
from pitchline.ground.results import GroundFit
from pitchline.ground.shoes import MixPart, ShoeComparison, ShoeKind, ShoeOffer, compare_shoes, fitted_kind
from pitchline.ground.soils import Ground
from pitchline.ground.spans import Basis
from pitchline.ground.standing import Standing, standing
from pitchline.ground.sweeps import SlipCurve, slew_sweep, slip_curve
from pitchline.ground.why import CAUTIONS
from pitchline.outlook.constants import weak_priors
from pitchline.papers.ground import shod_said
from pitchline.picture.ground_going import going_svg
from pitchline.picture.ground_slew import slew_svg
from pitchline.picture.ground_slip import slip_svg
from pitchline.picture.ground_slope import slope_svg
from pitchline.picture.ink import Tone
from pitchline.picture.png import png_bytes
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import RunningGear
from pitchline.words import in_english, say, translated, worded

_DRAWN = {
    "going": (Outcome.PULL,),
    "slew": (Outcome.PEAK_PRESSURE,),
    "pull": (Outcome.PULL, Outcome.SINKAGE),
    "slopes": (Outcome.CLIMB, Outcome.SLIDE, Outcome.TIP),
}
"""Drawings, and the outcomes each shows."""
DRAWINGS = tuple(_DRAWN)
_SIZES = {
    "mass": "mass_kg",
    "contact_length": "level_length_m",
    "track_gauge": "centres_m",
    "gravity_height": "gravity_height_m",
    "gravity_offset": "own_offset_m",
    "clearance": "clearance_m",
    "power": "power_w",
}
EXAMPLES = (
    (
        in_english("a named ground, and three shoe widths"),
        "pitchline ground machine.json --soil 'wet heavy clay' --shoes 500,600,900",
    ),
    (in_english("what a boot does to it"), "pitchline ground machine.json --boot over_ankle"),
)


def add(ground: argparse.ArgumentParser) -> None:
    """Its options."""
    ground.add_argument("machine", type=Path, metavar="MACHINE.json", help=translated("machine file"))
    what = ground.add_argument_group(translated("the ground"))
    what.add_argument(
        "--soil",
        action="append",
        default=[],
        metavar="NAME[=PERCENT]",
        help=translated("a ground by name; several, with their shares of the year, for a mix"),
    )
    what.add_argument(
        "--moisture", choices=("moist", "wet"), help=translated("of the named soil; both if left out")
    )
    what.add_argument("--cone", metavar="CI[,RI]", help=translated("penetrometer: cone index, and remould index"))
    what.add_argument("--vane", type=float, metavar="KPA", help=translated("hand vane: undrained shear strength"))
    what.add_argument(
        "--thumb", type=ThumbTest, choices=list(ThumbTest), help=translated("what a thumb does to it")
    )
    what.add_argument("--boot", type=BootTest, choices=list(BootTest), help=translated("what a boot does to it"))
    what.add_argument("--slope", type=float, default=0.0, metavar="DEG", help=translated("slope of the ground"))
    job = ground.add_argument_group(translated("the machine"))
    job.add_argument(
        "--load", type=float, default=0.0, metavar="KG", help=translated("load on the hook or in the bucket")
    )
    job.add_argument("--reach", type=float, metavar="M", help=translated("from the slew centre to the load"))
    job.add_argument("--shoes", metavar="500,600,700", help=translated("shoe widths on offer [mm]"))
    job.add_argument(
        "--shoe-kind", type=ShoeKind, choices=list(ShoeKind), help=translated("their kind; as fitted if left out")
    )
    for option, unit in (
        ("--mass", "KG"),
        ("--contact-length", "M"),
        ("--track-gauge", "M"),
        ("--gravity-height", "M"),
        ("--gravity-offset", "M"),
        ("--clearance", "M"),
        ("--power", "KW"),
    ):
        before = ["--track-centres"] if option == "--track-gauge" else []  # as it was called
        job.add_argument(
            option,
            *before,
            type=float,
            metavar=unit,
            help=translated("if known; assumed within a range if left out"),
        )
    job.add_argument(
        "--measured", action="store_true", help=translated("the sizes above were measured, not looked up")
    )
    ground.add_argument(
        "--draw", choices=DRAWINGS, default="going", help=translated("what to draw; by default the going")
    )
    ground.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help=translated("where to draw it: .svg or .png; - for standard output"),
    )
    add_as(ground, "svg", "png")
    ground.add_argument("--json", action="store_true", help=translated("print JSON instead of the screen"))


def run(asked: argparse.Namespace) -> None:
    """Fit, compare and show."""
    dossier = read_machine(asked.machine)
    machine = _sized(standing(dossier.machine, dossier.gear), asked)
    mix = _mix(asked)
    if asked.load and asked.reach is None:
        raise NotAllowedError(
            "--load", f"{asked.load:g}", "together with --reach", "Say how far out the load hangs."
        )
    task = Task(asked.load, asked.reach or 0.0, asked.slope)
    fits = [ground_fit(machine, part.ground, task) for part in mix]
    comparison = _compared(asked, machine, dossier.gear, mix, task)
    if asked.out is not None and not _draw(asked, machine, fits, dossier.machine.name):
        return  # standard output holds the drawing alone
    if asked.json:
        print(json.dumps(ground_json(fits, comparison, dossier.machine.machine_id), indent=2, allow_nan=False))
    else:
        print(ground_screen(fits, comparison, dossier.machine.name))


def _draw(asked: argparse.Namespace, machine: Standing, fits: list[GroundFit], name: str) -> bool:
    """Whether one picture was drawn into a file, and not to standard output; of several grounds the first, but for the going."""
    ending = ending_of(asked.out, asked.kind, "svg")
    if ending not in (".svg", ".png"):
        raise NotAllowedError("--out", asked.out.name, "a file name ending in .svg or .png", "Change the ending.")
    tone, fit = Tone.LIGHT if ending == ".png" else Tone.SYSTEM, fits[0]
    shown = fits if asked.draw == "going" else fits[:1]
    inputs = rests_said([one.figure(each) for one in shown for each in _DRAWN[asked.draw]])
    note = worded("Rests on {inputs}. {caution}", inputs=inputs, caution=say(CAUTIONS[0]))
    on = worded("{name} on {ground}", name=name, ground=translated(fit.ground.name))
    if asked.draw == "slew":
        load = translated("no load")
        if asked.load:
            load = worded("{load:,.0f} kg at {reach:g} m", load=asked.load, reach=asked.reach)
        svg = slew_svg(slew_sweep(machine, fit.task), f"{name}, {load}", tone=tone, note=note)
    elif asked.draw == "pull":
        svg = slip_svg(_curves(asked, machine, fit), on, tone=tone, note=note)
    elif asked.draw == "slopes":
        svg = slope_svg(fit, fit.machine.outline, fit.task.slope_deg, on, tone=tone, note=note)
    else:
        svg = going_svg(tuple(fits), shod_said(name, fit.shoe_width_m), tone=tone, note=note)
    return write_out(asked.out, png_bytes(svg) if ending == ".png" else svg.encode(), ending)


def _curves(asked: argparse.Namespace, machine: Standing, fit: GroundFit) -> tuple[tuple[str, SlipCurve], ...]:
    """The machine as it is shod, then up to three shoes on offer."""
    widths = [_number("--shoes", one) / 1e3 for one in asked.shoes.split(",")] if asked.shoes else []
    own = fit.shoe_width_m
    others = [one for one in widths if one != own][:3]
    named = [(own, machine), *((one, machine.with_figures(Basis.LISTED, shoe_width_m=one)) for one in others)]
    found = [(f"{width * 1e3:.0f} mm", slip_curve(shod, fit.ground, fit.task)) for width, shod in named]
    curves = tuple((name, curve) for name, curve in found if curve is not None)
    if not curves:
        raise NotAllowedError(
            "--draw", phrase("pull on {name}", name=fit.ground.name), "a ground that a tested soil brackets"
        )
    return curves


def _sized(machine: Standing, asked: argparse.Namespace) -> Standing:
    basis = Basis.MEASURED if asked.measured else Basis.LISTED
    known = {field: getattr(asked, option) for option, field in _SIZES.items()}
    known = {field: figure for field, figure in known.items() if figure is not None}
    if "power_w" in known:
        known["power_w"] *= 1e3
    return machine.with_figures(basis, **known)


def _mix(asked: argparse.Namespace) -> tuple[MixPart, ...]:
    """Grounds with their shares; what was tested counts for the only ground there is."""
    named = [_named(text, asked.moisture) for text in asked.soil]
    tested = any(one is not None for one in (asked.cone, asked.vane, asked.thumb, asked.boot))
    if tested and len(named) > 1:
        raise NotAllowedError("--soil", ", ".join(asked.soil), "one soil where it was tested", "Name one soil.")
    if not named and not tested:
        raise NotAllowedError(
            "ground", phrase("nothing"), "--soil, --cone, --vane, --thumb or --boot", "Describe the ground."
        )
    parts = named or [(unknown_ground(in_english("the tested ground")), None)]
    left = 1.0 - sum(share or 0.0 for _, share in parts)
    open_ends = sum(share is None for _, share in parts)
    shares = [left / open_ends if share is None else share for _, share in parts]
    if abs(sum(shares) - 1) > 1e-6:
        raise NotAllowedError("shares of --soil", f"{100 * sum(shares):g} %", "100 % together")
    return tuple(MixPart(_tested(ground, asked), share) for (ground, _), share in zip(parts, shares, strict=True))


def _named(text: str, moisture: str | None) -> tuple[Ground, float | None]:
    name, _, percent = text.partition("=")
    return ground_named(name.strip(), moisture), None if not percent else _number("--soil", percent) / 100


def _number(option: str, text: str) -> float:
    try:
        found = float(text)
    except ValueError:
        found = float("nan")
    if not np.isfinite(found):
        raise NotAllowedError(option, text, "a number", "Type it again.")
    return found


def _tested(ground: Ground, asked: argparse.Namespace) -> Ground:
    if asked.cone is not None:
        cone, _, remould = asked.cone.partition(",")
        ground = with_cone(ground, _number("--cone", cone), _number("--cone", remould) if remould else None)
    if asked.thumb is not None:
        ground = with_test(ground, asked.thumb)
    if asked.boot is not None:
        ground = with_test(ground, asked.boot)
    return ground if asked.vane is None else with_vane(ground, asked.vane * 1e3)


def _compared(
    asked: argparse.Namespace, machine: Standing, gear: RunningGear, mix: tuple[MixPart, ...], task: Task
) -> ShoeComparison | None:
    if asked.shoes is None:
        return None
    kind = asked.shoe_kind or fitted_kind(gear)
    offers = [ShoeOffer(_number("--shoes", width) / 1e3, kind) for width in asked.shoes.split(",")]
    return compare_shoes(
        machine, offers, mix, [float(one) for one in weak_priors(np.ones(1), np.ones(1)).ground], task
    )
