"""Ground classes by how hard they are on running gear, and the spans of hours worked in each."""

from dataclasses import dataclass
from enum import IntEnum

from pitchline.trade.errors import NotAllowedError


class GroundClass(IntEnum):
    """How hard a ground wears steel, 0 (kind) to 4 (harsh); typical lives are stated for MEDIUM."""

    KIND = 0
    LIGHT = 1
    MEDIUM = 2
    HEAVY = 3
    HARSH = 4

    @property
    def label(self) -> str:
        """Name for reading."""
        return self.name.lower()


GROUND_EXAMPLES: dict[GroundClass, str] = {
    GroundClass.KIND: "topsoil, peat, clay without stones",
    GroundClass.LIGHT: "loam or silt with a few stones",
    GroundClass.MEDIUM: "mixed soil with gravel",
    GroundClass.HEAVY: "sharp sand, gravel, wet grit",
    GroundClass.HARSH: "quarried rock, demolition rubble",
}
"""What each class looks like. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class NamedGround:
    """A ground the machine goes to, by name, and how much of its hours.

    Parameters
    ----------
    name : str
        Name of a ground, as ground fit knows it.
    percent : float
        Share of the hours to come [%], above 0 up to 100.

    Raises
    ------
    NotAllowedError
        A share outside its range.

    References
    ----------
    Definition.
    """

    name: str
    percent: float

    def __post_init__(self) -> None:
        if not 0 < self.percent <= 100:
            raise NotAllowedError("share of the ground", f"{self.percent:g} %", "above 0, at most 100 %")


@dataclass(frozen=True, slots=True)
class GroundSpan:
    """Hours worked in one class of ground.

    Parameters
    ----------
    from_h, to_h : float
        Service hours [h], from 0, the second above the first.
    ground : GroundClass
        The class.

    Raises
    ------
    NotAllowedError
        The span ends before it begins, or begins below zero.

    References
    ----------
    Definition.
    """

    from_h: float
    to_h: float
    ground: GroundClass

    def __post_init__(self) -> None:
        if not 0 <= self.from_h < self.to_h:
            raise NotAllowedError(
                "ground span", f"{self.from_h:g} to {self.to_h:g} h", "a start of 0 h or more and a later end"
            )
