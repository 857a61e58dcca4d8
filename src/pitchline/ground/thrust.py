"""What the ground gives two tracks to push against, and how that grows with slip."""

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

MOST_FRICTION_DEG = 50.0


def most_thrust_n(
    weight_n: npt.ArrayLike,
    shoe_width_m: npt.ArrayLike,
    level_length_m: npt.ArrayLike,
    cohesion_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
) -> Floats:
    """Most thrust of two tracks.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Weight square to the ground [N], zero or more.
    shoe_width_m, level_length_m : array_like, shape (...)
        Shoe width and contact length of one track [m], above zero.
    cohesion_pa : array_like, shape (...)
        Cohesion [Pa], zero or more.
    friction_deg : array_like, shape (...)
        Angle of friction [deg], 0 to 50.

    Returns
    -------
    ndarray, shape (...)
        Thrust [N], without grouser side shear.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Mohr-Coulomb: 2 b L c + W tan(phi); Wong (2008) as seen in open-source code citing it.

    Examples
    --------
    >>> print(round(float(most_thrust_n(135e3, 1.0, 3.6, 1e3, 19.7)) / 1e3, 2))
    55.54
    """
    above_zero(shoe_width=shoe_width_m, contact_length=level_length_m)
    zero_or_more(weight=weight_n, cohesion=cohesion_pa, angle_of_friction=friction_deg)
    friction = np.asarray(friction_deg, dtype=float)
    if (friction > MOST_FRICTION_DEG).any():
        raise NotAllowedError("angle of friction", f"{as_figure(np.nanmax(friction), 'g')} deg", "0 to 50 deg")
    area_m2 = 2.0 * np.asarray(shoe_width_m, dtype=float) * np.asarray(level_length_m, dtype=float)
    held = np.asarray(weight_n, dtype=float) * np.tan(np.radians(friction))
    return np.asarray(area_m2 * np.asarray(cohesion_pa, dtype=float) + held)


def share_at_slip(slip: npt.ArrayLike, level_length_m: npt.ArrayLike, shear_m: npt.ArrayLike) -> Checked:
    """Share of the most thrust that a track gives at one slip.

    Parameters
    ----------
    slip : array_like, shape (...)
        Slip [1], above 0 up to 1.
    level_length_m : array_like, shape (...)
        Contact length [m], above zero.
    shear_m : array_like, shape (...)
        Shear displacement K [m], above zero.

    Returns
    -------
    Checked
        Share [1]; no number for a slip outside (0, 1].

    Raises
    ------
    NotAllowedError
        A length that is not above zero.

    References
    ----------
    Janosi & Hanamoto (1961): 1 - K/(iL) (1 - exp(-iL/K)), even pressure.

    Examples
    --------
    >>> print(round(share_at_slip(0.2, 2.6, 0.025).one, 4))
    0.9519
    """
    above_zero(contact_length=level_length_m, shear_displacement=shear_m)
    given = np.asarray(slip, dtype=float)
    within = (given > 0) & (given <= 1)
    ratio = np.where(within, given, 1.0) * np.asarray(level_length_m) / np.asarray(shear_m)
    return checked(1.0 + np.expm1(-ratio) / ratio, ("slip_outside_range", ~within))


def drawbar_n(
    thrust_n: npt.ArrayLike, resistance_n: npt.ArrayLike, weight_n: npt.ArrayLike, slope_deg: npt.ArrayLike = 0.0
) -> Floats:
    """Pull left over at the drawbar.

    Parameters
    ----------
    thrust_n, resistance_n : array_like, shape (...)
        Thrust, and all motion resistances together [N], both for the weight square to the slope.
    weight_n : array_like, shape (...)
        Whole weight [N].
    slope_deg : array_like, shape (...)
        Slope [deg], up is positive.

    Returns
    -------
    ndarray, shape (...)
        Pull [N]; below zero it does not get on.

    References
    ----------
    Definition: F - R - W sin(slope).
    """
    uphill = np.asarray(weight_n, dtype=float) * np.sin(np.radians(np.asarray(slope_deg, dtype=float)))
    return np.asarray(np.asarray(thrust_n, dtype=float) - np.asarray(resistance_n) - uphill)
