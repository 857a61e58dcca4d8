"""The parts of a running gear, and where each can stand."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError, Phrase, phrase


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
class PartFacts:
    """Where a part sits and how it is spoken of.

    Parameters
    ----------
    sided : bool
        One set on each side.
    numbered : bool
        Several on a side, counted from the front idler backwards.
    many : bool
        Spoken of as several even on one side, such as shoes.

    References
    ----------
    The counting from the front is ours.
    """

    sided: bool = True
    numbered: bool = False
    many: bool = False


_NUMBERED = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER)
_MANY = (PartKind.BUSH, PartKind.SHOE, PartKind.PAD, PartKind.GUARD)
PARTS: dict[PartKind, PartFacts] = {
    part: PartFacts(part is not PartKind.SLEW_RING, part in _NUMBERED, part in _MANY) for part in PartKind
}


def how_many(part: PartKind) -> int:
    """How many the name of one part of a kind speaks of: 2 for what is only spoken of as several, such as shoes."""
    return 2 if PARTS[part].many else 1


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


def at(place: Place) -> Phrase:
    """A place in a refusal."""
    return phrase("{place:place}", place=place.key)
