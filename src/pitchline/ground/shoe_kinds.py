"""Kinds of shoe and track."""

from enum import StrEnum

from pitchline.trade.machine import TrackKind


class ShoeKind(StrEnum):
    """Kinds of shoe or track on offer."""

    ONE_GROUSER = "one_grouser"
    TWO_GROUSERS = "two_grousers"
    THREE_GROUSERS = "three_grousers"
    FLAT = "flat"
    RUBBER_PADS = "rubber_pads"
    RUBBER_TRACK = "rubber_track"

    @property
    def track(self) -> TrackKind:
        """What touches the ground with it."""
        if self is ShoeKind.RUBBER_TRACK:
            return TrackKind.RUBBER
        return TrackKind.STEEL_BOLTED_PADS if self is ShoeKind.RUBBER_PADS else TrackKind.STEEL

    @classmethod
    def _missing_(cls, value: object) -> "ShoeKind | None":
        code = str(value).replace(" ", "_")  # as it was written before
        return next((kind for kind in cls if kind.value == code), None)
