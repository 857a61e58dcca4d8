"""Mean maximum pressure: the mean of the peaks under all rollers. A ranking between machines, never a verdict alone."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Floats, above_zero


class SoftGround(StrEnum):
    """Grounds that limits of mean maximum pressure were published for."""

    WET_FINE_TEMPERATE = "wet_fine_temperate"
    WET_FINE_TROPICAL = "wet_fine_tropical"
    MUSKEG = "muskeg"
    FLOATING_BOG = "floating_bog"
    SNOW = "snow"


@dataclass(frozen=True, slots=True)
class PeakLimits:
    """Published limits of mean maximum pressure on one ground.

    Parameters
    ----------
    many_passes_pa, satisfactory_pa, single_pass_pa : float
        Ideal, for many passes; satisfactory; most, for a single pass [Pa].

    References
    ----------
    Rowland (1975) as reprinted in Wong, *Theory of Ground Vehicles* (whole table from memory).
    """

    many_passes_pa: float
    satisfactory_pa: float
    single_pass_pa: float


PEAK_LIMITS: dict[SoftGround, PeakLimits] = {
    SoftGround.WET_FINE_TEMPERATE: PeakLimits(150e3, 200e3, 300e3),
    SoftGround.WET_FINE_TROPICAL: PeakLimits(90e3, 140e3, 240e3),
    SoftGround.MUSKEG: PeakLimits(30e3, 50e3, 60e3),
    SoftGround.FLOATING_BOG: PeakLimits(5e3, 10e3, 15e3),
    SoftGround.SNOW: PeakLimits(10e3, 27.5e3, 40e3),
}
"""Rowland (1975), from memory; snow's satisfactory pressure is given as 25 to 30 kPa."""


def linked_track_peaks_pa(
    weight_n: npt.ArrayLike,
    rollers_per_side: npt.ArrayLike,
    shoe_width_m: npt.ArrayLike,
    pitch_m: npt.ArrayLike,
    roller_diameter_m: npt.ArrayLike,
    link_area_share: npt.ArrayLike = 1.0,
) -> Floats:
    """Mean maximum pressure under a linked track with rigid rollers.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Weight of the machine [N], above zero.
    rollers_per_side : array_like of int, shape (...)
        Bottom rollers of one track, above zero.
    shoe_width_m, pitch_m, roller_diameter_m : array_like, shape (...)
        Shoe width, pitch of one joint and tread diameter of a roller [m], above zero.
    link_area_share : array_like, shape (...)
        Rigid area of a link over width times pitch [1], above zero; 1 where unknown.

    Returns
    -------
    ndarray, shape (...)
        Pressure [Pa].

    Raises
    ------
    NotAllowedError
        A figure that is not above zero.

    References
    ----------
    Rowland, 4th ISTVS Conference (1972), 353-384, as seen in open-source code citing it with the area share 1; the area
    share from memory. Wong, J. Terramechanics 31 (1994) 197-213: differs significantly from measured values, ranking only.
    Running gear of construction machines, with many small rollers and a long pitch, lies outside what it was fitted to.

    Examples
    --------
    >>> print(round(float(linked_track_peaks_pa(200e3, 7, 0.5, 0.19, 0.2)) / 1e3, 1))
    184.7
    """
    above_zero(
        weight=weight_n,
        bottom_rollers=rollers_per_side,
        shoe_width=shoe_width_m,
        pitch=pitch_m,
        roller_diameter=roller_diameter_m,
        share_of_the_link_area=link_area_share,
    )
    width, pitch, diameter = (np.asarray(one, dtype=float) for one in (shoe_width_m, pitch_m, roller_diameter_m))
    stations = 2.0 * np.asarray(rollers_per_side, dtype=float) * np.asarray(link_area_share, dtype=float)
    return np.asarray(1.26 * np.asarray(weight_n, dtype=float) / (stations * width * np.sqrt(pitch * diameter)))
