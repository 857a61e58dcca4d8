"""Snow and ice: traction from the pressure, and the rut in snow that nobody has driven on."""

from enum import StrEnum

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, above_zero, checked

MOST_PRESSURE_PA = 200e3
"""Our own end of the curves: no tracked machine of the report presses harder."""


class Winter(StrEnum):
    """Surfaces the traction curves were fitted on."""

    UNDISTURBED_SNOW = "undisturbed_snow"
    PACKED_SNOW = "packed_snow"
    ICE = "ice"


_CURVES = {Winter.UNDISTURBED_SNOW: (0.851, 0.823), Winter.PACKED_SNOW: (0.321, 0.97), Winter.ICE: (0.127, 1.06)}
"""Traction T = a N^b in kPa; coefficients from memory, they reproduce the report's printed outputs to four digits."""


def traction_pa(pressure_pa: npt.ArrayLike, surface: Winter) -> Checked:
    """Traction to the area of contact.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Contact pressure [Pa], above zero.
    surface : Winter
        What it stands on.

    Returns
    -------
    Checked
        Traction [Pa]; no number beyond the pressures the curves were fitted on.

    Raises
    ------
    NotAllowedError
        A pressure that is not above zero.

    References
    ----------
    Richmond, Shoop & Blaisdell, *Cold Regions Mobility Models*, CRREL Report 95-1 (1995), app. A, Table A5.

    Examples
    --------
    >>> print(round(traction_pa(51.22e3, Winter.UNDISTURBED_SNOW).one / 1e3, 2))
    21.72
    """
    above_zero(contact_pressure=pressure_pa)
    factor, power = _CURVES[surface]
    pressure = np.asarray(pressure_pa, dtype=float)
    found = factor * (pressure / 1e3) ** power * 1e3
    return checked(found, ("presses_too_hard", pressure > MOST_PRESSURE_PA))


def traction_power(surface: Winter) -> float:
    """How traction grows with pressure.

    Returns
    -------
    float
        Power of the pressure [1]; below 1 a lighter load grips better for its weight.

    References
    ----------
    As `traction_pa`.
    """
    return _CURVES[surface][1]
