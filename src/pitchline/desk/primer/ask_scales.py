"""Read a scale: a size by chance on a drawn tool, typed in millimetres, marked line by line."""

from pitchline.desk.drawing import SMALL, inline
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.lessons import LESSONS
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind
from pitchline.picture.scale_read import SCALES, SLIDING, scale_svg
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.words import in_english, translated, worded

READ = tuple(Piece(PieceKind.SCALE, scale) for scale in SCALES)
JOINTS = 4
_ASKED = {
    "calliper": (in_english("A calliper sits across a bush. What does it read, in millimetres?"), 480, 690),
    "depth_gauge": (in_english(
        "A depth gauge stands on an idler's flange, its rod down on the tread. How deep, in millimetres?"), 170, 330),
    "rule": (in_english(
        "A rule stands on a shoe's plate; the grouser ends where the grey ends. How high is it, in millimetres?"), 60, 160),
    "tape": (in_english(
        "A tape's nought lies at one edge of a bush, and this is the same edge of the bush four joints on. "
        "What is the pitch of one joint, in millimetres?"), 1360, 1660),
}  # fmt: skip
"""The question, and sizes from and to: tenths of a millimetre for what slides, halves for the others. Sizes of nobody's parts."""
_OF = {
    "calliper": (PartKind.BUSH, Measurand.BUSH_OD_FORWARD),
    "depth_gauge": (PartKind.IDLER, Measurand.TREAD_DEPTH),
    "rule": (PartKind.SHOE, Measurand.GROUSER_HEIGHT),
    "tape": (PartKind.CHAIN, Measurand.PITCH),
}


def ask_scale(piece: Piece, number: int) -> Asked:
    """A scale set to a size by chance."""
    scale, chance = piece.name, piece.chance(number)
    question, low, high = _ASKED[scale]
    steps = chance.randint(low, high)
    slides, over = scale in SLIDING, JOINTS if scale == "tape" else 1
    size_mm = steps / (10 if slides else 2)
    part, measurand = _OF[scale]
    wide, answered = (
        tuple(
            inline(scale_svg(scale, size_mm, width, prefix, marked), prefix, {})
            for width, prefix in ((drawings.WIDE, f"scale{marked:d}"), (SMALL, f"scale{marked:d}small"))
        )
        for marked in (False, True)
    )
    told = _sliding(steps) if slides else _plain(size_mm)
    if over > 1:
        told += (
            worded(
                "{size:.1f} mm over {joints} joints: one joint is {one:.3f} mm.",
                size=size_mm,
                joints=over,
                one=size_mm / over,
            ),
            translated("Over several joints the doubt of the tape is shared out."),
        )
    return Asked(
        translated(question), str(round(size_mm / over, 4)), (), (wide[0], wide[1]), (answered[0], answered[1]),
        told=told, more=(pages.to_part(part), pages.to_lesson(LESSONS["measuring"])),
        near=(0.1 if slides else 0.5) / over, form=".2f" if over > 1 else ".1f", quantity=measurand.value,
    )  # fmt: skip


def _sliding(steps: int) -> tuple[str, ...]:
    whole, tenth = divmod(steps, 10)
    return (
        worded("The nought of the sliding scale stands at {whole} or just past it: {whole} mm.", whole=whole),
        worded("Its line {tenth} is the one that meets a line above: {tenth} tenths.", tenth=tenth),
        worded(
            "Together {size:.1f} mm. How far the sliding scale's other lines miss does not count.", size=steps / 10
        ),
    )


def _plain(size_mm: float) -> tuple[str, ...]:
    whole = int(size_mm)
    if size_mm == whole:
        return (worded("It ends at a long line: {whole} mm, and no half.", whole=whole),)
    return (
        worded(
            "Past the line of {whole} mm, at the short line halfway to the next: {size:.1f} mm.",
            whole=whole,
            size=size_mm,
        ),
    )
