"""Snow and ice: traction from the pressure, and the rut in snow that nobody has driven on."""

from enum import StrEnum

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked

MOST_PRESSURE_PA = 200e3
"""Our own end of the curves: no tracked machine of the report presses harder."""
SOLID_SNOW_KG_M3 = 500.0


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
    return checked(found, ("presses harder than the curves were fitted for", pressure > MOST_PRESSURE_PA))


def traction_power(surface: Winter) -> float:
    """How traction grows with pressure.

    Parameters
    ----------
    surface : Winter
        What it stands on.

    Returns
    -------
    float
        Power of the pressure [1]; below 1 a lighter load grips better for its weight.

    References
    ----------
    As `traction_pa`.
    """
    return _CURVES[surface][1]


def rut_m(depth_m: npt.ArrayLike, density_kg_m3: npt.ArrayLike) -> Checked:
    """Rut in undisturbed snow.

    Parameters
    ----------
    depth_m : array_like, shape (...)
        Depth of the snow [m], above zero.
    density_kg_m3 : array_like, shape (...)
        Its density [kg/m3], above zero.

    Returns
    -------
    Checked
        Depth of the rut [m]; no number for snow as dense as under a track.

    Raises
    ------
    NotAllowedError
        A figure that is not above zero.

    References
    ----------
    CRREL Report 95-1 (1995): snow is pressed to 0.5 g/cm3; fits both printed ruts.

    Examples
    --------
    >>> print(round(rut_m(0.15, 200).one, 3))
    0.09
    """
    above_zero(depth_of_the_snow=depth_m, density_of_the_snow=density_kg_m3)
    density = np.asarray(density_kg_m3, dtype=float)
    found = np.asarray(depth_m, dtype=float) * (1.0 - density / SOLID_SNOW_KG_M3)
    return checked(found, ("snow as dense as under a track", density >= SOLID_SNOW_KG_M3))


def snow_pull_n(
    pressure_pa: npt.ArrayLike, area_m2: npt.ArrayLike, resistance_n: npt.ArrayLike, surface: Winter
) -> Floats:
    """Pull left over on snow or ice.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Contact pressure [Pa], above zero.
    area_m2 : array_like, shape (...)
        Contact area of both tracks [m2], above zero.
    resistance_n : array_like, shape (...)
        All motion resistances together [N].
    surface : Winter
        What it stands on.

    Returns
    -------
    ndarray, shape (...)
        Pull [N]; NaN where `traction_pa` gives no number.

    Raises
    ------
    NotAllowedError
        A figure that is not above zero.

    References
    ----------
    As `traction_pa`.
    """
    above_zero(contact_area=area_m2)
    return np.asarray(traction_pa(pressure_pa, surface).figure * np.asarray(area_m2) - np.asarray(resistance_n))
