"""What it is worth to measure again before deciding, and when: closed forms for one part."""

from dataclasses import dataclass
from math import exp, pi, sqrt

from scipy.special import ndtri

from pitchline.stops.checks import check_money

SHARE_OF_LIFE = 0.5
"""The next walk-round is never later than this share of the cautious hours left."""


@dataclass(frozen=True, slots=True)
class Information:
    """What knowing more is worth before one part's hour is fixed.

    Parameters
    ----------
    planned_h : float
        Best hour with what is known now [h].
    perfect : float
        Worth of knowing the life exactly [money].
    reading : float
        Worth of one more reading [money]; from 0 to `perfect`.

    References
    ----------
    Raiffa and Schlaifer, from memory.
    """

    planned_h: float
    perfect: float
    reading: float


def worth_of_reading(
    mean_h: float, deviation_h: float, early_per_h: float, late_per_h: float, reading_deviation_h: float
) -> Information:
    """What a reading is worth when the life left is normal and early and late hours cost in proportion.

    Parameters
    ----------
    mean_h, deviation_h : float
        Life left [h]; the deviation above zero.
    early_per_h, late_per_h : float
        Cost of an hour thrown away and of an hour run past the limit [money/h], above zero.
    reading_deviation_h : float
        Standard uncertainty of what the reading says of the life left [h], zero or more.

    Returns
    -------
    Information
        The best hour now, and the worth of knowing more.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    The newsvendor's normal form, standard, from memory.

    Examples
    --------
    >>> round(worth_of_reading(2000, 400, 2, 18, 200).planned_h, 2)
    1487.38
    """
    for field, figure in (("deviation", deviation_h), ("early cost", early_per_h), ("late cost", late_per_h)):
        check_money(figure, field, above_zero=True)
    check_money(reading_deviation_h, "deviation of the reading")
    both = early_per_h + late_per_h
    z = float(ndtri(early_per_h / both))
    height = both * exp(-z * z / 2) / sqrt(2 * pi)
    after = deviation_h * reading_deviation_h / sqrt(deviation_h**2 + reading_deviation_h**2)
    return Information(mean_h + deviation_h * z, height * deviation_h, height * (deviation_h - after))


def latest_walk_round_h(cautious_h: float, most_h: float) -> float:
    """Hours from now by which the next walk-round is due: half the cautious hours left, and never past a cap.

    Parameters
    ----------
    cautious_h : float
        Cautious hours left [h]; zero or less when the limit may be passed already, infinite when nothing wears.
    most_h : float
        Longest interval the yard allows [h], above zero.

    Returns
    -------
    float
        From 0 to `most_h` [h].

    Raises
    ------
    NotAllowedError
        The longest interval is not above zero.

    References
    ----------
    Half remaining life with a cap, as in API 570 and API 653 (quoted, not seen).

    Examples
    --------
    >>> latest_walk_round_h(700.0, 500.0), latest_walk_round_h(float("inf"), 500.0)
    (350.0, 500.0)
    """
    check_money(most_h, "longest interval", above_zero=True)
    return float(min(max(SHARE_OF_LIFE * cautious_h, 0.0), most_h))
