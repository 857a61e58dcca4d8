"""A list of parts, as columns of sizes: what a worn part is held against."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from pitchline.match.likelihood import Floats
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told
from pitchline.trade.parts import PartKind

TOLERANCE_M = 0.0003
"""Standard uncertainty of a listed new size where the list says none [m]: an assumption."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a list.

    Parameters
    ----------
    number : str
        What the list calls it.
    part : PartKind
        What it is.
    sizes : mapping of PartSize to float or str
        New sizes [m], counts, or words; those the list does not say are left out.
    allowances_m : mapping of PartSize to float
        Wear allowances [m] where they are known; else a share of the new size is assumed.
    note : str
        What else the list says.

    Raises
    ------
    NotAllowedError
        No number, or a size of another kind of part, or one that is not above 0.
    """

    number: str
    part: PartKind
    sizes: Mapping[PartSize, float | str]
    allowances_m: Mapping[PartSize, float] = field(default_factory=dict)
    note: str = ""

    def __post_init__(self) -> None:
        if not self.number.strip():
            raise NotAllowedError("number", self.number, "what the list calls the part")
        for size, value in self.sizes.items():
            facts = PART_SIZES[size]
            if self.part not in facts.parts:
                raise NotAllowedError(size.value.replace("_", " "), value, "empty: such a part has none")
            if facts.told is not Told.WORD and not (isinstance(value, float | int) and 0 < value < np.inf):
                raise NotAllowedError(size.value.replace("_", " "), value, "a figure above 0")


class PartList:
    """Parts of one kind as columns, made once and asked often.

    Parameters
    ----------
    parts : sequence of Part
        All of one kind.
    """

    def __init__(self, parts: tuple[Part, ...]) -> None:
        self.parts = parts
        self.part = parts[0].part if parts else None
        self.columns: dict[PartSize, Floats] = {}
        self.allowances: dict[PartSize, Floats] = {}
        self.words: dict[PartSize, list[str]] = {}
        for size, facts in PART_SIZES.items():
            if not any(size in one.sizes for one in parts):
                continue
            if facts.told is Told.WORD:
                self.words[size] = [str(one.sizes.get(size, "")).strip().casefold() for one in parts]
                continue
            column = np.array([float(one.sizes.get(size, np.nan)) for one in parts])
            self.columns[size] = column
            told = np.array([one.allowances_m.get(size, np.nan) for one in parts])
            self.allowances[size] = np.where(np.isnan(told), facts.allowance * column, told)
