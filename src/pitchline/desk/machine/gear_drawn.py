"""The drawing that grows beside the form of a running gear: from whatever is typed so far, the rest assumed and said to be."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from pitchline.desk.drawing import SMALL, inline
from pitchline.exchange.figures import typed_length
from pitchline.picture.gear_side import gear_svg
from pitchline.picture.part_words import big_length_said
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.track_size import track_size
from pitchline.trade.writing import way_in_force
from pitchline.words import in_english, translated, worded
from pitchline.words.catalogue import refused

WIDE = 720
_CHAIN = {"joints_per_side": 45, "pitch": 0.19, "shoe_width": 0.6, "sprocket_teeth": 23, "bottom_rollers_per_side": 7,
          "upper_rollers_per_side": 2}  # fmt: skip
_RUBBER = {"joints_per_side": 76, "pitch": 0.0525, "shoe_width": 0.3, "sprocket_teeth": 21, "bottom_rollers_per_side": 4,
           "upper_rollers_per_side": 1}  # fmt: skip
"""What is drawn until it is typed. Our own, for a drawing alone; the page says which of them are assumed."""
_CALLED = {
    "joints_per_side": "joints", "pitch": "pitch", "sprocket_teeth": "sprocket teeth",
    "bottom_rollers_per_side": "bottom rollers", "upper_rollers_per_side": "upper rollers",
}  # fmt: skip


NOT_CLOSED = in_english(
    "With these counts the track does not close round its wheels. Go on, or count joints and teeth again."
)


@dataclass(frozen=True, slots=True)
class GearDrawn:
    """What is shown beside the form.

    Parameters
    ----------
    wide, small : SafeString or None
        The drawing for a desk and for a phone; None where the counts cannot go together.
    said : str
        How long the track is, for checking; why there is no drawing, where there is none.
    assumed : str
        What is drawn though nobody typed it yet.
    fills : tuple of (str, str)
        Fields that a size in one breath fills, and with what.
    """

    wide: SafeString | None
    small: SafeString | None
    said: str
    assumed: str
    fills: tuple[tuple[str, str], ...] = ()


def drawn_from(typed: Mapping[str, Any]) -> GearDrawn:
    """The drawing of what is typed so far; what cannot be used is taken as not typed."""
    track = next((kind for kind in TrackKind if kind.value == typed.get("track")), TrackKind.STEEL)
    rubber = track is TrackKind.RUBBER
    figures, assumed = dict(_RUBBER if rubber else _CHAIN), []
    found = _typed(typed, rubber)
    for name, called in _CALLED.items():
        if name not in found:
            assumed.append(translated(called))
    gaps = SprocketGaps.EACH if rubber or typed.get("sprocket_gaps") == "each" else SprocketGaps.EVERY_SECOND
    raised = typed.get("layout") == Layout.RAISED_SPROCKET.value
    try:
        gear = _gear(track, gaps, raised, figures | found, typed)
    except NotAllowedError as error:
        return GearDrawn(None, None, refused(error.problem), "")
    units = way_in_force().units
    try:
        wide = inline(gear_svg(gear, WIDE, units, prefix="gear"), "gear", {})
        small = inline(gear_svg(gear, SMALL, units, prefix="gearsmall"), "gearsmall", {})
    except NotAllowedError:  # what geometry refuses is a length or a sag nobody typed
        return GearDrawn(None, None, translated(NOT_CLOSED), "")
    said = worded(
        "One track laid flat is {long} long.", long=big_length_said(gear.joints_per_side * gear.pitch_m, units)
    )
    return GearDrawn(wide, small, said, ", ".join(assumed), _fills(typed, rubber))


def _fills(typed: Mapping[str, Any], rubber: bool) -> tuple[tuple[str, str], ...]:
    try:
        size = track_size(str(typed.get("size") or ""), rubber)
    except NotAllowedError:
        return ()
    told = (("joints_per_side", str(size.joints)), ("pitch", size.pitch), ("shoe_width", size.width or ""))
    return tuple(one for one in told if one[1])


def _gear(
    track: TrackKind, gaps: SprocketGaps, raised: bool, figures: Mapping[str, float], typed: Mapping[str, Any]
) -> RunningGear:
    rollers = int(figures["bottom_rollers_per_side"])
    two = [
        int(bit) for bit in str(typed.get("two_flange_rollers") or "").replace(",", " ").split() if bit.isdecimal()
    ]
    grousers = str(typed.get("grousers_per_shoe") or "")
    return RunningGear(
        track,
        int(figures["joints_per_side"]),
        figures["pitch"],
        figures["shoe_width"],
        int(figures["sprocket_teeth"]),
        gaps,
        rollers,
        int(figures["upper_rollers_per_side"]),
        two_flange_rollers=tuple(one for one in two if 1 <= one <= rollers),
        layout=Layout.RAISED_SPROCKET if raised else Layout.LEVEL,
        grousers_per_shoe=min(int(grousers), 60) if grousers.isdecimal() and len(grousers) < 3 else 0,
    )


def _typed(typed: Mapping[str, Any], rubber: bool) -> dict[str, float]:
    """Every figure that can be used, by its field."""
    found: dict[str, float] = {}
    told = {name: str(typed.get(name) or "").strip() for name in (*_CHAIN, "size", "pitch_over", "pitch_joints")}
    try:
        said = track_size(told["size"], rubber)
        told |= {"joints_per_side": str(said.joints), "pitch": said.pitch}
    except NotAllowedError:
        pass  # its field says so when the form is sent
    for name in ("joints_per_side", "sprocket_teeth", "bottom_rollers_per_side", "upper_rollers_per_side"):
        if told[name].isdecimal() and len(told[name]) < 4:
            found[name] = int(told[name])
    joints = (
        int(told["pitch_joints"]) if told["pitch_joints"].isdecimal() and 0 < len(told["pitch_joints"]) < 3 else 4
    )
    for text, over in ((told["pitch"], 1), (told["pitch_over"], max(joints, 1))):
        try:
            pitch_m = typed_length(text, "mm", "length").si / over
        except NotAllowedError:
            continue
        if 0.03 <= pitch_m <= 0.6:
            found.setdefault("pitch", pitch_m)
    return found
