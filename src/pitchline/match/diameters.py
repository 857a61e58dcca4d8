"""Diameters that no calliper spans, from what can be measured; derived from the circle."""

import math

from pitchline.trade.errors import NotAllowedError


def _above_nothing(field: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise NotAllowedError(field, value, "a length above 0")


def from_chord(
    chord_m: float, height_m: float, u_chord_m: float = 0.0, u_height_m: float = 0.0
) -> tuple[float, float]:
    """Diameter of a round from a chord and its height above it.

    Parameters
    ----------
    chord_m, height_m : float
        Length of the chord and height of the round above its middle [m], above 0.
    u_chord_m, u_height_m : float
        Their standard uncertainties [m].

    Returns
    -------
    tuple of (float, float)
        Diameter and its standard uncertainty [m].

    Raises
    ------
    NotAllowedError
        A length that is not above 0.

    Examples
    --------
    >>> [round(1e3 * one, 3) for one in from_chord(0.300, 0.030, 0.0005, 0.0003)]
    [780.0, 7.622]
    """
    _above_nothing("chord", chord_m)
    _above_nothing("height", height_m)
    by_chord = chord_m * u_chord_m / (4 * height_m)
    by_height = (0.5 - chord_m**2 / (8 * height_m**2)) * u_height_m
    return chord_m**2 / (4 * height_m) + height_m, 2 * math.hypot(by_chord, by_height)


def from_girth(girth_m: float, tape_m: float = 0.0, u_girth_m: float = 0.0) -> tuple[float, float]:
    """Diameter of a round from a tape laid round it.

    Parameters
    ----------
    girth_m : float
        Length of the tape round it [m], above 0.
    tape_m : float
        Thickness of the tape [m].
    u_girth_m : float
        Standard uncertainty of the girth [m].

    Returns
    -------
    tuple of (float, float)
        Diameter and its standard uncertainty [m].

    Raises
    ------
    NotAllowedError
        A girth that is not above 0.

    Examples
    --------
    >>> [round(1e3 * one, 3) for one in from_girth(0.641, 0.0004, 0.001)]
    [203.637, 0.318]
    """
    _above_nothing("girth", girth_m)
    return girth_m / math.pi - tape_m, u_girth_m / math.pi


def teeth_of_segment(chord_m: float, gaps: int, tip_diameter_m: float) -> float:
    """Teeth of the whole ring from a part of it.

    Parameters
    ----------
    chord_m : float
        From tip to tip over so many gaps [m], above 0.
    gaps : int
        Gaps between them, from 1.
    tip_diameter_m : float
        Diameter over the tips [m], above the chord.

    Returns
    -------
    float
        Teeth, not rounded: far from a whole number something was misread.

    Raises
    ------
    NotAllowedError
        A chord that is not above 0, or as long as the diameter.

    Examples
    --------
    >>> round(teeth_of_segment(0.482, 5, 0.820), 3)
    24.999
    """
    _above_nothing("chord", chord_m)
    if not chord_m < tip_diameter_m:
        raise NotAllowedError("diameter over the tips", tip_diameter_m, "more than the chord")
    return gaps * math.pi / math.asin(chord_m / tip_diameter_m)


def bolt_circle(chord_m: float, apart: int, bolts: int) -> float:
    """Bolt circle from the distance of two of its bolts.

    Parameters
    ----------
    chord_m : float
        Between the middles of two bolts [m], above 0.
    apart : int
        How many bolts on the second is, from 1, less than all.
    bolts : int
        Bolts on the circle, from 2.

    Returns
    -------
    float
        Diameter [m].

    Raises
    ------
    NotAllowedError
        A chord that is not above 0, or bolts that cannot be.

    Examples
    --------
    >>> round(1e3 * bolt_circle(0.050, 1, 26), 3)
    414.811
    """
    _above_nothing("chord", chord_m)
    if not 0 < apart < bolts:
        raise NotAllowedError("bolts apart", apart, f"1 to {bolts - 1}")
    return chord_m / math.sin(apart * math.pi / bolts)
