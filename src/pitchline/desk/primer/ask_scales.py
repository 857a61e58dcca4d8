"""Read a scale: a size by chance on a drawn tool, in the units in force, marked line by line."""

from pitchline.desk.drawing import SMALL, inline
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.lessons import LESSONS
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind
from pitchline.picture.scale_read import SCALES, Ruling, ruling_of, scale_svg
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.units import INCH_M, UnitSystem
from pitchline.trade.writing import as_figure, way_in_force
from pitchline.words import in_english, translated, worded

READ = tuple(Piece(PieceKind.SCALE, scale) for scale in SCALES)
JOINTS = 4
_ASKED = {
    "calliper": in_english("A calliper sits across a bush. What does it read?"),
    "depth_gauge": in_english("A depth gauge stands on an idler's flange, its rod down on the tread. How deep is it?"),
    "rule": in_english("A rule stands on a shoe's plate; the grouser ends where the grey ends. How high is it?"),
    "tape": in_english(
        "A tape's nought lies at one edge of a bush, and this is the same edge of the bush four joints on. "
        "What is the pitch of one joint?"),
}  # fmt: skip
_RANGE = {"calliper": (48, 69), "depth_gauge": (17, 33), "rule": (30, 80), "tape": (680, 830)}
"""Sizes from and to [mm], of nobody's parts."""
_OF = {
    "calliper": (PartKind.BUSH, Measurand.BUSH_OD_FORWARD),
    "depth_gauge": (PartKind.IDLER, Measurand.TREAD_DEPTH),
    "rule": (PartKind.SHOE, Measurand.GROUSER_HEIGHT),
    "tape": (PartKind.CHAIN, Measurand.PITCH),
}


def ask_scale(piece: Piece, number: int) -> Asked:
    """A scale set to a size by chance, in the units in force: tenths or thousandths where it slides, or halves or sixteenths."""
    scale, chance, units = piece.name, piece.chance(number), way_in_force().units
    ruled, over = ruling_of(scale, units), JOINTS if scale == "tape" else 1
    each_mm = ruled.step / (ruled.lines or (2 if ruled.halves else 1))
    low, high = (round(end / each_mm) for end in _RANGE[scale])
    steps = chance.randint(low, high)
    size_mm, unit_mm = steps * each_mm, INCH_M * 1000 if units is UnitSystem.IMPERIAL else 1.0
    part, measurand = _OF[scale]
    wide, answered = (
        tuple(
            inline(scale_svg(scale, size_mm, width, prefix, marked, units=units), prefix, {})
            for width, prefix in ((drawings.WIDE, f"scale{marked:d}"), (SMALL, f"scale{marked:d}small"))
        )
        for marked in (False, True)
    )
    told = _sliding(steps, ruled, size_mm / unit_mm) if ruled.lines else _plain(steps, ruled, size_mm / unit_mm)
    if over > 1:
        told += (
            worded(
                "{size} {unit} over {joints} joints: one joint is {one} {unit}.",
                size=_figure(size_mm / unit_mm, ruled, 1, 4),
                joints=over,
                one=_figure(size_mm / unit_mm / over, ruled, 3, 4),
                unit=translated(ruled.unit),
            ),
            translated("Over several joints the doubt of the tape is shared out."),
        )
    forms = (".2f" if over > 1 else ".1f") if unit_mm == 1.0 else ".4f" if not ruled.lines else ".3f"
    return Asked(
        translated(_ASKED[scale]), str(round(size_mm / over, 4)), (), (wide[0], wide[1]), (answered[0], answered[1]),
        told=told, more=(pages.to_part(part), pages.to_lesson(LESSONS["measuring"])),
        near=each_mm / over, form=forms, quantity=measurand.value, unit=ruled.unit,
    )  # fmt: skip


def _figure(size: float, ruled: Ruling, in_mm: int, in_inches: int) -> str:
    return as_figure(size, f".{in_mm if ruled.unit == 'mm' else in_inches}f")


def _sliding(steps: int, ruled: Ruling, size: float) -> tuple[str, ...]:
    whole, line = divmod(steps, ruled.lines)
    before = _figure(whole * size / steps * ruled.lines, ruled, 0, 3)
    if ruled.unit == "mm":
        parts = worded("Its line {line} is the one that meets a line above: {line} tenths.", line=line)
    else:
        parts = worded("Its line {line} is the one that meets a line above: {line} thousandths.", line=line)
    unit = translated(ruled.unit)
    return (
        worded(
            "The nought of the sliding scale stands at {whole} {unit} or just past it.", whole=before, unit=unit
        ),
        parts,
        worded(
            "Together {size} {unit}. How far the sliding scale's other lines miss does not count.",
            size=_figure(size, ruled, 1, 3),
            unit=unit,
        ),
    )


def _plain(steps: int, ruled: Ruling, size: float) -> tuple[str, ...]:
    whole = int(size)
    if ruled.unit != "mm":
        lines = steps - ruled.told * whole
        size_said = as_figure(size, ".4f")
        return (
            worded(
                "It ends at line {n} of sixteen past {whole} in: {size} in.", n=lines, whole=whole, size=size_said
            ),
        )
    if size == whole:
        return (worded("It ends at a long line: {whole} mm, and no half.", whole=whole),)
    return (
        worded(
            "Past the line of {whole} mm, at the short line halfway to the next: {size:.1f} mm.",
            whole=whole,
            size=size,
        ),
    )
