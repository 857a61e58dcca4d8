"""How much metal is gone from a section of known shape: exact geometry, no wear chart."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

Floats = NDArray[np.float64]
_SMALL_ANGLE = 0.1


def _within(field: str, size_m: Floats, least_m: float, most_m: float) -> None:
    wrong = (size_m < least_m) | (size_m > most_m)
    if np.any(wrong):
        raise NotAllowedError(
            field,
            f"{as_figure(np.ravel(size_m)[np.ravel(wrong)][0], 'g')} m",
            phrase("{least_m} to {most_m} m", least_m=as_figure(least_m, "g"), most_m=as_figure(most_m, "g")),
            "Measure it again.",
        )


def _above_zero(**sizes: float) -> None:
    for name, size in sizes.items():
        if not (np.isfinite(size) and size > 0):
            raise NotAllowedError(name.replace("_", " "), size, "a finite figure above 0")


def angle_less_sine(angle_rad: ArrayLike) -> Floats:
    """An angle less its sine, without loss of digits near zero.

    Parameters
    ----------
    angle_rad : array_like, shape (n,)
        Angle [rad], 0 to 2 pi.

    Returns
    -------
    ndarray, shape (n,)
        Angle minus sine [1].

    References
    ----------
    Definition; below 0.1 rad the Taylor series up to the ninth power.

    Examples
    --------
    >>> float(angle_less_sine(0.0))
    0.0
    """
    angle = np.asarray(angle_rad, dtype=np.float64)
    square = angle * angle
    series = angle * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72)))
    return np.where(np.abs(angle) < _SMALL_ANGLE, series, angle - np.sin(angle))


def segment_area_m2(radius_m: float, depth_m: ArrayLike) -> Floats:
    """Area lost where a flat is worn into a round, such as a bush or a pin.

    Parameters
    ----------
    radius_m : float
        Radius of the round when new [m], above zero.
    depth_m : array_like, shape (n,)
        Depth of the flat below the new surface [m], 0 to the whole diameter. NaN stays NaN.

    Returns
    -------
    ndarray, shape (n,)
        Area of the segment worn off [m2]; times the length it is the worn volume.

    Raises
    ------
    NotAllowedError
        A radius that is not above zero, or a depth outside the round.

    References
    ----------
    Circular segment, any geometry handbook: R^2 acos(1 - h/R) - (R - h) sqrt(2 R h - h^2); written here with the angle
    2 asin(sqrt(h / 2R)), which is the same and keeps its digits for shallow flats.

    Examples
    --------
    >>> round(float(segment_area_m2(0.020, 0.002)) * 1e6, 6)
    23.490363
    """
    _above_zero(radius=radius_m)
    depth = np.asarray(depth_m, dtype=np.float64)
    _within("depth of the flat", depth, 0.0, 2 * radius_m)
    angle = 4 * np.arcsin(np.sqrt(np.clip(depth / (2 * radius_m), 0.0, 1.0)))
    return radius_m**2 / 2 * angle_less_sine(angle)


def segment_depth_m(radius_m: float, area_m2: ArrayLike) -> Floats:
    """Depth of the flat that takes a given area off a round: the inverse of `segment_area_m2`.

    Parameters
    ----------
    radius_m : float
        Radius of the round when new [m], above zero.
    area_m2 : array_like, shape (n,)
        Area worn off [m2], 0 to half the round. NaN stays NaN.

    Returns
    -------
    ndarray, shape (n,)
        Depth of the flat [m].

    Raises
    ------
    NotAllowedError
        A radius that is not above zero, or an area outside 0 to half the round.

    References
    ----------
    Circular segment, any geometry handbook; solved by Newton's rule on the angle, which is convex here.

    Examples
    --------
    >>> round(float(segment_depth_m(0.020, 23.490363e-6)) * 1e3, 6)
    2.0
    """
    _above_zero(radius=radius_m)
    area = np.asarray(area_m2, dtype=np.float64)
    half_m2 = np.pi * radius_m**2 / 2
    if np.any((area < 0) | (area > half_m2 * (1 + 1e-12))):
        raise NotAllowedError(
            "worn area",
            f"{as_figure(np.nanmax(np.abs(area)), 'g')} m2",
            phrase("0 to {half_m2} m2", half_m2=as_figure(half_m2, "g")),
        )
    target = 2 * area / radius_m**2
    angle = np.minimum(np.cbrt(6 * target), np.pi)
    for _ in range(12):
        rise = 2 * np.sin(angle / 2) ** 2
        step = np.divide(angle_less_sine(angle) - target, rise, out=np.zeros_like(angle), where=rise > 0)
        angle = np.clip(angle - step, 0.0, np.pi)
    return 2 * radius_m * np.sin(angle / 4) ** 2


def tapered_bar_area_m2(
    height_loss_m: ArrayLike, tip_width_m: float, root_width_m: float, new_height_m: float
) -> Floats:
    """Section area lost from a bar that widens evenly from tip to root, such as a grouser.

    Parameters
    ----------
    height_loss_m : array_like, shape (n,)
        Height worn off the tip [m], 0 to the new height. NaN stays NaN.
    tip_width_m, root_width_m, new_height_m : float
        Width at the new tip, width at the root and height when new [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Area lost [m2]; times the bar's length it is the worn volume.

    Raises
    ------
    NotAllowedError
        A size that is not above zero, or a loss outside 0 to the new height.

    References
    ----------
    Area of a trapezium: w0 h + (w1 - w0) h^2 / (2 H0).

    Examples
    --------
    >>> round(float(tapered_bar_area_m2(0.030, 0.010, 0.030, 0.060)) * 1e6, 6)
    450.0
    """
    _above_zero(tip_width=tip_width_m, root_width=root_width_m, new_height=new_height_m)
    loss = np.asarray(height_loss_m, dtype=np.float64)
    _within("height worn off", loss, 0.0, new_height_m)
    return loss * (tip_width_m + (root_width_m - tip_width_m) * loss / (2 * new_height_m))
