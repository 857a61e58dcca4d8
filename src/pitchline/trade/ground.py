"""Ground classes by how hard they are on running gear, the spans of hours worked in each, and the mix of hours to come."""

import math
from dataclasses import dataclass
from enum import IntEnum

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure


class GroundClass(IntEnum):
    """How hard a ground wears steel, 0 (gentle) to 4 (harsh); typical lives are stated for MIDDLING."""

    GENTLE = 0
    MILD = 1
    MIDDLING = 2
    SHARP = 3
    HARSH = 4

    @property
    def code(self) -> str:
        """Its short name in files, addresses and verdicts."""
        return self.name.lower()


GROUNDS_BEFORE = {
    "kind": GroundClass.GENTLE,
    "light": GroundClass.MILD,
    "medium": GroundClass.MIDDLING,
    "heavy": GroundClass.SHARP,
}
"""What classes were called in files, addresses and verdicts written before; soils are heavy or light, and wear otherwise."""


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
    """

    name: str
    percent: float

    def __post_init__(self) -> None:
        if not 0 < self.percent <= 100:
            raise NotAllowedError(
                "share of the ground", f"{as_figure(self.percent, 'g')} %", "above 0, at most 100 %"
            )


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
    """

    from_h: float
    to_h: float
    ground: GroundClass

    def __post_init__(self) -> None:
        if not 0 <= self.from_h < self.to_h:
            raise NotAllowedError(
                "ground span",
                phrase("{from_h} to {to_h} h", from_h=as_figure(self.from_h, "g"), to_h=as_figure(self.to_h, "g")),
                "a start of 0 h or more and a later end",
            )


_WHOLE_WITHIN = 1e-6


@dataclass(frozen=True, slots=True)
class GroundMix:
    """Shares of the hours to come over the ground classes.

    Parameters
    ----------
    shares : tuple of float
        One for each class, from gentle to harsh [1]; each 0 to 1, together 1.

    Raises
    ------
    NotAllowedError
        A share outside 0 to 1, or shares that do not add up to 1.

    Examples
    --------
    >>> [ground.code for ground in GroundMix((0.0, 0.0, 0.6, 0.4, 0.0)).grounds]
    ['middling', 'sharp']
    """

    shares: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.shares) != len(GroundClass):
            raise NotAllowedError(
                "ground mix",
                phrase("{shares} shares", shares=len(self.shares)),
                phrase("{groundclass} shares", groundclass=len(GroundClass)),
            )
        for ground, share in zip(GroundClass, self.shares, strict=True):
            if not 0 <= share <= 1:
                raise NotAllowedError(
                    phrase("ground mix, {ground:wear_class}", ground=ground.code),
                    f"{as_figure(100 * share, 'g')} %",
                    "0 to 100 %",
                )
        total = math.fsum(self.shares)
        if abs(total - 1) > _WHOLE_WITHIN:
            step = "Change the shares until they make up the whole."
            raise NotAllowedError(
                "ground mix",
                phrase("{total} % together", total=as_figure(100 * total, "g")),
                "100 % together",
                step,
            )

    @classmethod
    def all_of(cls, ground: GroundClass) -> "GroundMix":
        """All hours in one class.

        Returns
        -------
        GroundMix
            Its share is 1.
        """
        return cls(tuple(float(each is ground) for each in GroundClass))

    @property
    def grounds(self) -> tuple[GroundClass, ...]:
        """Classes with a share above zero, kindest first."""
        return tuple(ground for ground in GroundClass if self.shares[ground] > 0)
