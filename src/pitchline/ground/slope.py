"""Slopes: where a machine at rest tips or slides, and how far a slope moves its load. Static figures, no permit."""

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more


def tipping_deg(to_edge_m: npt.ArrayLike, height_m: npt.ArrayLike) -> Checked:
    """Slope at which a machine at rest tips.

    Parameters
    ----------
    to_edge_m : array_like, shape (...)
        Level distance from the centre of gravity to the tipping line [m]: the end of the contact length, or the outer
        edge of the downhill track.
    height_m : array_like, shape (...)
        Height of the centre of gravity [m], above zero.

    Returns
    -------
    Checked
        Slope [deg]; no number where it tips on the level.

    Raises
    ------
    NotAllowedError
        A height that is not above zero.

    References
    ----------
    Statics of a rigid body: atan(d / h).

    Examples
    --------
    >>> print(round(tipping_deg(1.49, 1.10).one, 1))
    53.6
    """
    above_zero(height_of_the_centre_of_gravity=height_m)
    reach = np.asarray(to_edge_m, dtype=float)
    found = np.degrees(np.arctan2(np.maximum(reach, 0.0), np.asarray(height_m, dtype=float)))
    return checked(found, ("tips on the level", reach < 0))


def sliding_deg(
    weight_n: npt.ArrayLike, area_m2: npt.ArrayLike, cohesion_pa: npt.ArrayLike, friction_deg: npt.ArrayLike
) -> Checked:
    """Slope at which a machine at rest slides.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Weight [N], above zero.
    area_m2 : array_like, shape (...)
        Contact area of both tracks [m2], zero or more.
    cohesion_pa : array_like, shape (...)
        Cohesion [Pa], zero or more.
    friction_deg : array_like, shape (...)
        Angle of friction [deg]; for a coefficient of friction its arc tangent, with no cohesion.

    Returns
    -------
    Checked
        Slope [deg]; no number where cohesion alone holds it at any slope.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    W sin = c A + W cos tan(phi), solved: sin(slope - phi) = c A cos(phi) / W.

    Examples
    --------
    >>> print(round(sliding_deg(180e3, 2.912, 4.14e3, 13).one, 2))
    16.74
    """
    above_zero(weight=weight_n)
    zero_or_more(contact_area=area_m2, cohesion=cohesion_pa, angle_of_friction=friction_deg)
    friction = np.radians(np.asarray(friction_deg, dtype=float))
    held = np.asarray(cohesion_pa, dtype=float) * np.asarray(area_m2) * np.cos(friction) / np.asarray(weight_n)
    found = np.degrees(friction + np.arcsin(np.minimum(held, 1.0)))
    return checked(found, ("cohesion alone holds it", (held > 1.0) | (found > 90.0)))


def load_shift_m(height_m: npt.ArrayLike, slope_deg: npt.ArrayLike) -> Floats:
    """How far a slope moves the load downhill, along the ground.

    Parameters
    ----------
    height_m : array_like, shape (...)
        Height of the centre of gravity [m].
    slope_deg : array_like, shape (...)
        Slope [deg], 0 to below 90.

    Returns
    -------
    ndarray, shape (...)
        Shift [m].

    Raises
    ------
    NotAllowedError
        A negative slope.

    References
    ----------
    Statics: h tan(slope).
    """
    zero_or_more(slope=slope_deg)
    return np.asarray(np.asarray(height_m, dtype=float) * np.tan(np.radians(np.asarray(slope_deg, dtype=float))))


def grade_percent(slope_deg: npt.ArrayLike) -> Floats:
    """A slope in percent.

    Parameters
    ----------
    slope_deg : array_like, shape (...)
        Slope [deg].

    Returns
    -------
    ndarray, shape (...)
        100 tan(slope) [%].

    References
    ----------
    Definition.
    """
    return np.asarray(100.0 * np.tan(np.radians(np.asarray(slope_deg, dtype=float))))


def slope_of_percent_deg(percent: npt.ArrayLike) -> Floats:
    """A slope in degrees from percent.

    Parameters
    ----------
    percent : array_like, shape (...)
        Slope [%].

    Returns
    -------
    ndarray, shape (...)
        Slope [deg].

    References
    ----------
    Definition.
    """
    return np.asarray(np.degrees(np.arctan(np.asarray(percent, dtype=float) / 100.0)))
