"""A newest reading that is not understood: what is left if it is right, and if it was misread.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass

from pitchline.trade.units import show_hours


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
    past_either_way : bool
        Whether it lies past the limit, and whatever else may have been meant does too.
    limit_too : bool
        Whether every reading of this quantity is held back, so that the limit is as suspect as they are.
    meant : str
        What was probably meant, where what was read cannot be; else empty.
    cause : str
        What to look for, where like readings beside it bear it out, so that it is not doubted any more; else empty.
    """

    words: str
    if_right_h: float
    if_misread_h: float
    held: bool = False
    past_either_way: bool = False
    limit_too: bool = False
    meant: str = ""
    cause: str = ""

    def told(self, label: str) -> str:
        """Both explanations in hours, and what to do.

        Examples
        --------
        >>> Doubted("134.5 mm", 0.0, 4230.0).told("tread diameter")[:65]
        'Tread diameter read 134.5 mm. If that is right, nothing is left; '
        """
        left = f"about {show_hours(self.if_right_h)} are left" if self.if_right_h >= 1 else "nothing is left"
        right = f"{self.meant} was meant" if self.meant else "that is right"
        held = ", held back" if self.held else ""
        limit = " Every one of its kind looks wrong: check the limit too." if self.limit_too else ""
        return (
            f"{label[0].upper()}{label[1:]} read {self.words}{held}. If {right}, {left}; if it was misread, about "
            f"{show_hours(self.if_misread_h)}: measure again before it is decided.{limit}"
        )
