"""The parts of a running gear: their names, and where each can stand."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError


class PartKind(StrEnum):
    """A part of the running gear."""

    CHAIN = "chain"
    BUSH = "bush"
    LINK = "link"
    SHOE = "shoe"
    PAD = "pad"
    BOTTOM_ROLLER = "bottom_roller"
    UPPER_ROLLER = "upper_roller"
    IDLER = "idler"
    SPROCKET = "sprocket"
    RUBBER_TRACK = "rubber_track"
    TRACK_ADJUSTER = "track_adjuster"
    GUARD = "guard"
    FINAL_DRIVE = "final_drive"
    SLEW_RING = "slew_ring"


class Side(StrEnum):
    """Which side of the machine, seen from the seat facing forward; none for a part there is one of."""

    LEFT = "left"
    RIGHT = "right"
    NONE = ""


@dataclass(frozen=True, slots=True)
class PartWords:
    """The words of one part.

    Parameters
    ----------
    singular, plural : str
        Names for reading.
    sided : bool
        One set on each side.
    numbered : bool
        Several on a side, counted from the front idler backwards.

    References
    ----------
    Trade words; the counting from the front is ours.
    """

    singular: str
    plural: str
    sided: bool = True
    numbered: bool = False


PARTS: dict[PartKind, PartWords] = {
    PartKind.CHAIN: PartWords("chain", "chains"),
    PartKind.BUSH: PartWords("bushes", "bushes"),
    PartKind.LINK: PartWords("link rail", "link rails"),
    PartKind.SHOE: PartWords("shoes", "shoes"),
    PartKind.PAD: PartWords("rubber pads", "rubber pads"),
    PartKind.BOTTOM_ROLLER: PartWords("bottom roller", "bottom rollers", numbered=True),
    PartKind.UPPER_ROLLER: PartWords("upper roller", "upper rollers", numbered=True),
    PartKind.IDLER: PartWords("idler", "idlers", numbered=True),
    PartKind.SPROCKET: PartWords("sprocket", "sprockets"),
    PartKind.RUBBER_TRACK: PartWords("rubber track", "rubber tracks"),
    PartKind.TRACK_ADJUSTER: PartWords("track adjuster", "track adjusters"),
    PartKind.GUARD: PartWords("guards", "guards"),
    PartKind.FINAL_DRIVE: PartWords("final drive", "final drives"),
    PartKind.SLEW_RING: PartWords("slew ring", "slew rings", sided=False),
}


def how_many(part: PartKind) -> int:
    """How many the name of one part of a kind speaks of: 2 for what is only spoken of as several, such as shoes."""
    return 2 if PARTS[part].singular == PARTS[part].plural else 1


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a part sits on the machine.

    Parameters
    ----------
    part : PartKind
        What it is.
    side : Side
        Left or right; none for the slew ring.
    position : int
        Number from the front for rollers and idlers, from 1; 0 for parts that are not numbered.
    """

    part: PartKind
    side: Side
    position: int = 0

    @property
    def key(self) -> str:
        """Short name without spaces, such as "bottom_roller/left/3"."""
        side = f"/{self.side.value}" if self.side.value else ""
        return f"{self.part.value}{side}/{self.position}" if self.position else f"{self.part.value}{side}"

    @property
    def label(self) -> str:
        """Name for reading, such as "bottom roller 3, left"."""
        words = PARTS[self.part].singular + (f" {self.position}" if self.position else "")
        return f"{words}, {self.side.value}" if self.side.value else words

    @classmethod
    def from_key(cls, key: str) -> "Place":
        """The place of a short name.

        Parameters
        ----------
        key : str
            Such as "bottom_roller/left/3".

        Raises
        ------
        NotAllowedError
            No place is called that.
        """
        bits = key.split("/")
        number = bits.pop() if bits[-1].isdecimal() and len(bits[-1]) < 4 else "0"
        try:
            place = cls(PartKind(bits[0]), Side(bits[1] if len(bits) > 1 else ""), int(number))
        except (ValueError, IndexError):
            place = None
        if place is None or place.key != key:
            raise NotAllowedError("place", key, "a part, its side and its number", "Choose a part.")
        return place
