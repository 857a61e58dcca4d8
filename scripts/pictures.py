"""The gallery docs/pictures: every kind of machine and running gear of the demo yard, every view, light, dark and for a phone.

Run: python scripts/pictures.py (or make pictures). Writes the drawings and their index, the same bytes every time;
tests/unit/picture/test_gallery.py holds that what is kept is what would be written.
"""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pitchline.demo.yard import Yard, build_yard
from pitchline.judge import judge
from pitchline.picture.ink import Tone
from pitchline.picture.views import Wanted, drawn
from pitchline.stops.settings import PlanSettings
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.verdict import Verdict

FOLDER = Path(__file__).parents[1] / "docs" / "pictures"
HORIZON_H = 6000.0
YARD = tuple(range(1, 18))
DARK, LIGHT, SYSTEM = Tone.DARK, Tone.LIGHT, Tone.SYSTEM


@dataclass(frozen=True, slots=True)
class Kept:
    """One drawing of the gallery: its file's name, what it shows, of which machine, and how it is drawn."""

    name: str
    shows: str
    machine: int
    wanted: Wanted


def side(
    number: int, name: str, shows: str, facing: Side = Side.LEFT, width: int = 1200, tone: Tone = SYSTEM
) -> Kept:
    """A side elevation."""
    return Kept(f"side-{name}", shows, number, Wanted("side", facing, width=width, tone=tone))


GALLERY = (
    side(7, "excavator", "Excavator on steel track, one bottom roller leaking"),
    side(7, "excavator-dark", "The same, dark", tone=DARK),
    side(7, "excavator-phone", "The same on a phone, its right side", Side.RIGHT, 360),
    side(8, "past-its-limits", "Excavator that was run too long, its right side", Side.RIGHT),
    side(1, "rubber", "Mini excavator on rubber track"),
    side(3, "bolted-pads", "Excavator with rubber pads bolted to its shoes"),
    side(4, "pad-shoes", "Excavator with rubber pads in place of shoes"),
    side(6, "raised-sprocket", "Dozer with raised sprocket"),
    side(10, "loading-shovel", "Track loading shovel"),
    side(12, "paver", "Paver"),
    side(14, "drill-rig", "Drill rig, its idler and one roller to be booked"),
    side(16, "wide-shoes", "Excavator on wide shoes, the plainer drawing for white paper", tone=Tone.PAPER),
    Kept(
        "part-sprocket",
        "Part sheet: sprocket teeth worn to hooks",
        8,
        Wanted("part", part=PartKind.SPROCKET, width=900),
    ),
    Kept(
        "part-bush-dark", "Part drawing: bushes, dark", 7, Wanted("part", part=PartKind.BUSH, width=900, tone=DARK)
    ),
    Kept(
        "record-bush",
        "Wear record: readings, the way so far, and the fan to the limit",
        7,
        Wanted("record", part=PartKind.BUSH, quantity=Measurand.BUSH_OD_FORWARD, width=900),
    ),
    Kept(
        "plan-wide-shoes",
        "Both tracks from above, wide shoes against standard ones",
        16,
        Wanted("above", width=1000),
    ),
    Kept("strip", f"Plan of lay-ups over {HORIZON_H:,.0f} hours", 7, Wanted("hours-line", width=1100)),
    Kept("yard", "The whole yard, what falls due first on top", 0, Wanted("chart", width=1100)),
)


@cache
def judged(number: int) -> Verdict:
    """A machine of the demo yard by its number, judged with its newest sheet."""
    return judge(build_yard().machine(number).with_sheet)


def files(verdict_of: Callable[[int], Verdict] = judged) -> Iterator[tuple[str, str]]:
    """Every file of the gallery and its text."""
    yard = build_yard()
    for kept in GALLERY:
        yield f"{kept.name}.svg", _drawing(kept, yard, verdict_of)
    yield "README.md", index()


def index() -> str:
    """The page that shows them all."""
    lines = [
        "# Drawings of the demo yard",
        "",
        "Every machine here is invented. `make pictures` draws them anew; a test holds that they are what the code draws today.",
        "How to draw your own: [../howto/draw-pictures.md](../howto/draw-pictures.md).",
    ]
    for kept in GALLERY:
        lines += ["", f"## {kept.shows}", "", f"![{kept.shows}]({kept.name}.svg)"]
    return "\n".join(lines) + "\n"


def _drawing(kept: Kept, yard: Yard, verdict_of: Callable[[int], Verdict]) -> str:
    if kept.wanted.view == "chart":
        return drawn([verdict_of(number) for number in YARD], kept.wanted)
    dossier = yard.machine(kept.machine).with_sheet
    if kept.wanted.view == "hours-line":
        return drawn([judge(dossier, yard.prices, planning=PlanSettings(HORIZON_H), what_ifs=False)], kept.wanted)
    return drawn([verdict_of(kept.machine)], kept.wanted, dossier.ground_spans)


def main() -> int:
    """Write them all."""
    FOLDER.mkdir(exist_ok=True)
    for name, text in files():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
    print(f"{len(GALLERY)} drawings in docs/pictures")
    return 0


if __name__ == "__main__":
    sys.exit(main())
