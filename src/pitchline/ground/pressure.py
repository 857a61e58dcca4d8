"""Average contact pressure: a figure to compare machines by, not a stress in the ground."""

from enum import Enum

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import GRAVITY_M_S2, Floats, above_zero, zero_or_more


class Sunk(Enum):
    """How the contact length is taken: the share of the track's loop height that is added to the level run.

    FLAT: hard ground, grousers not sunk. GROUSERS_IN: grousers fully sunk (from memory).
    FACTOR_035: the factor of ISO 16754:2008 (from memory); its formula clause is unconfirmed, so no figure here is
    "per ISO 16754".
    """

    FLAT = 0.0
    GROUSERS_IN = 0.33
    FACTOR_035 = 0.35


def contact_pressure_pa(
    mass_kg: npt.ArrayLike,
    shoe_width_m: npt.ArrayLike,
    level_length_m: npt.ArrayLike,
    loop_height_m: npt.ArrayLike = 0.0,
    sunk: Sunk = Sunk.FLAT,
) -> Floats:
    """Weight over the contact area of both tracks.

    Parameters
    ----------
    mass_kg : array_like, shape (...)
        Mass of the machine with whatever it carries [kg], above zero.
    shoe_width_m : array_like, shape (...)
        Width of one shoe [m], above zero.
    level_length_m : array_like, shape (...)
        Sprocket centre to idler centre where the track ends at ground level, first to last grounded roller where its
        ends are raised [m], above zero. Never the overall length.
    loop_height_m : array_like, shape (...)
        Height of the track's loop over the shoes' outer faces at the idler [m], zero or more.
    sunk : Sunk
        Which share of the loop height counts as contact.

    Returns
    -------
    ndarray, shape (...)
        Average pressure [Pa].

    Raises
    ------
    NotAllowedError
        A size that is not above zero.

    References
    ----------
    Japan Construction Mechanization Association, Handbook 2016, p. 4-214: area = shoe width x L x 2, and L for both track
    forms. The share of the loop height: see `Sunk`.

    Examples
    --------
    >>> print(round(float(contact_pressure_pa(20_000, 0.60, 3.27)) / 1e3, 2))
    50.0
    """
    above_zero(mass=mass_kg, shoe_width=shoe_width_m, contact_length=level_length_m)
    zero_or_more(loop_height=loop_height_m)
    width, length, height = (np.asarray(one, dtype=float) for one in (shoe_width_m, level_length_m, loop_height_m))
    area_m2 = 2.0 * width * (length + sunk.value * height)
    return np.asarray(np.asarray(mass_kg, dtype=float) * GRAVITY_M_S2 / area_m2)
