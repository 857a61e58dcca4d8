"""The primer's drawings: running gears of our own where the yard has none, each wide and for a phone."""

from django.urls import reverse
from django.utils.safestring import SafeString

from pitchline.desk.drawing import SMALL, inline
from pitchline.picture.gear_side import gear_svg
from pitchline.picture.moving import MOVING, moving_svg, still_svgs
from pitchline.picture.part_words import first_up
from pitchline.picture.shoe_widths import shoe_width_svgs
from pitchline.picture.turning import turning_svgs
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.writing import way_in_force
from pitchline.words import label, translated, worded
from pitchline.words.labels import plural

WIDE = 720
_SECOND, _EACH = SprocketGaps.EVERY_SECOND, SprocketGaps.EACH
STEEL = RunningGear(TrackKind.STEEL, 45, 0.19, 0.6, 23, _SECOND, 7, 2, grousers_per_shoe=3, slew_ring=True)
RAISED = RunningGear(
    TrackKind.STEEL, 40, 0.21, 0.55, 21, _SECOND, 7, 1, layout=Layout.RAISED_SPROCKET, grousers_per_shoe=1
)
PADS = RunningGear(TrackKind.STEEL_BOLTED_PADS, 45, 0.19, 0.6, 23, _SECOND, 7, 2, grousers_per_shoe=3)
RUBBER = RunningGear(TrackKind.RUBBER, 76, 0.0525, 0.3, 21, _EACH, 4, 1)
"""Made up for the primer: sizes of nobody's machine."""


def made_up_for(part: PartKind) -> RunningGear:
    """A running gear of our own that has a part."""
    return {PartKind.PAD: PADS, PartKind.RUBBER_TRACK: RUBBER}.get(part, STEEL)


def called(gear: RunningGear) -> str:
    """What a made-up running gear is called below its drawing."""
    if gear.layout is Layout.RAISED_SPROCKET:
        return worded("Made up: {track}, raised sprocket.", track=label(gear.track))
    return worded("Made up: {track}, level sprocket.", track=label(gear.track))


def drawn(
    gear: RunningGear,
    marked: PartKind | None = None,
    named: bool = True,
    prefix: str = "gear",
    linked: bool = True,
) -> tuple[SafeString, SafeString] | None:
    """A running gear, wide and small, each part leading to its page; None where its counts cannot be drawn."""
    links: dict[str, tuple[str, str]] = {}
    for part in PartKind if linked else ():
        goal = (reverse("primer-part", args=[part.value]), first_up(plural(part)))
        links |= {
            f"{part.value}/{Side.LEFT.value}{number}": goal for number in ("", *(f"/{n}" for n in range(1, 21)))
        }
    try:
        wide, small = (
            inline(
                gear_svg(gear, width, way_in_force().units, prefix=name, marked=marked, named=named), name, links
            )
            for width, name in ((WIDE, prefix), (SMALL, f"{prefix}small"))
        )
    except NotAllowedError:
        return None
    return wide, small


OF_LESSON = {
    "kinds": (STEEL, RAISED, PADS, RUBBER),
    "rubber": (RUBBER, PADS),
    "sprockets": (STEEL, RAISED),
}
STAGED = {"turning": turning_svgs, "widths": shoe_width_svgs}


MOVING_ON = {
    "turning": "turning",
    "tension": "slack",
    "chain": "stretch",
    "bottom_roller": "roller",
    "upper_roller": "roller",
}
"""The lesson or part each picture that moves is of."""


def moving(page: str) -> tuple[SafeString, str, list[tuple[SafeString, str]]] | None:
    """The picture of a lesson or a part that moves, what it shows, and stills of it; None where it has none."""
    name = MOVING_ON.get(page)
    if name is None:
        return None
    stills = [(inline(svg, f"{name}{nth}", {}), said) for nth, (svg, said) in enumerate(still_svgs(name), 1)]
    return inline(moving_svg(name), f"moving{name}", {}), translated(MOVING[name].title), stills


def stages(lesson: str) -> list[tuple[SafeString, str]]:
    """The small drawings of a lesson, each with what it shows: a bush that is turned, shoes on a stone."""
    made = STAGED.get(lesson)
    return [(inline(svg, f"{lesson}{nth}", {}), told) for nth, (svg, told) in enumerate(made(), 1)] if made else []
