"""A newest reading that is not understood: what is left if it is right, and if it was misread.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass

from pitchline.trade.measurands import Measurand
from pitchline.trade.saying import Saying, saying, says, then


def tells_of_misreading(told: Saying) -> bool:
    """Whether both explanations of a reading are told."""
    return says(told, "doubt.if_", "misread")


@dataclass(frozen=True, slots=True)
class Doubted:
    """Both explanations of a reading that would be bad news if it were right.

    Parameters
    ----------
    words : str
        The reading as typed.
    if_right_h : float
        Hours left if it is right [h], 0 or more.
    if_misread_h : float
        Hours left if it was misread, by all else that is known [h], 0 or more.
    held : bool
        Whether it is held back until it is corrected or kept with a reason.
    least_used : float
        Life used by whichever of what was read and what may have been meant is the less worn [1]; 0 where that is not known.
    limit_too : bool
        Whether every reading of this quantity is held back, so that the limit is as suspect as they are.
    meant_m : float or None
        What was probably meant, where what was read cannot be [m].
    so_soon_h : float or None
        Hours since it was fitted new or rebuilt [h], where no part wears so far in them: the record of that is as suspect.
    cause : Saying or None
        What to look for, where like readings beside it bear it out, so that it is not doubted any more.
    """

    words: str
    if_right_h: float
    if_misread_h: float
    held: bool = False
    least_used: float = 0.0
    limit_too: bool = False
    meant_m: float | None = None
    so_soon_h: float | None = None
    cause: Saying | None = None

    @property
    def past_either_way(self) -> bool:
        """Whether it lies past the limit, and whatever else may have been meant does too."""
        return self.least_used >= 1.0

    def told(self, measurand: Measurand) -> Saying:
        """Both explanations in hours, and what to do."""
        right = "right" if self.meant_m is None else "meant"
        return then(
            saying("doubt.read_held_back" if self.held else "doubt.read", quantity=measurand, typed=self.words),
            saying(
                f"doubt.if_{right}{'' if self.if_right_h >= 1 else '_nothing'}",
                meant_m=self.meant_m,
                right_h=self.if_right_h,
                misread_h=self.if_misread_h,
            ),
            saying("doubt.check_limit_too") if self.limit_too else None,
            None if self.so_soon_h is None else saying("doubt.check_fitting_too", since_h=self.so_soon_h),
        )
