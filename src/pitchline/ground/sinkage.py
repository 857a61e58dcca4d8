"""Pressure and sinkage: how far an evenly loaded track sinks, and what pressing the soil down costs in pull."""

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more

BELLIED = "sinks_too_deep"


def modulus(kc: npt.ArrayLike, kphi: npt.ArrayLike, shoe_width_m: npt.ArrayLike) -> Floats:
    """Sinkage modulus of a soil under a track of one width.

    Parameters
    ----------
    kc, kphi : array_like, shape (...)
        Moduli [N/m^(n+1)] and [N/m^(n+2)].
    shoe_width_m : array_like, shape (...)
        The smaller side of the loaded area [m], above zero.

    Returns
    -------
    ndarray, shape (...)
        k = kc / b + kphi [N/m^(n+2)].

    Raises
    ------
    NotAllowedError
        A width that is not above zero.

    References
    ----------
    Bekker (1956, 1969), as seen in two independent open-source implementations citing Wong (2008).
    """
    above_zero(shoe_width=shoe_width_m)
    return np.asarray(np.asarray(kc, dtype=float) / np.asarray(shoe_width_m, dtype=float) + np.asarray(kphi))


def sinkage_m(
    pressure_pa: npt.ArrayLike,
    modulus_k: npt.ArrayLike,
    exponent: npt.ArrayLike,
    clearance_m: npt.ArrayLike = np.nan,
    shoe_width_m: npt.ArrayLike = np.nan,
) -> Checked:
    """How far a track sinks under an even pressure.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Contact pressure [Pa], above zero.
    modulus_k : array_like, shape (...)
        As `modulus` [N/m^(n+2)], above zero.
    exponent : array_like, shape (...)
        Sinkage exponent [1], above zero.
    clearance_m, shoe_width_m : array_like, shape (...)
        Ground clearance and shoe width [m]; NaN leaves that end of the method unchecked.

    Returns
    -------
    Checked
        Sinkage [m]; no number below the clearance or deeper than the shoe is wide.

    Raises
    ------
    NotAllowedError
        A figure that is not above zero.

    References
    ----------
    Bekker: p = k z^n. Even pressure, rigid flat track, homogeneous soil deeper than the sinkage, no slip-sinkage.
    The ends are our own reading of that.

    Examples
    --------
    >>> print(round(sinkage_m(18_750, 4.37e3 / 1.0 + 196.72e3, 1.6).one, 4))
    0.227
    """
    above_zero(contact_pressure=pressure_pa, sinkage_modulus=modulus_k, sinkage_exponent=exponent)
    ratio = np.asarray(pressure_pa, dtype=float) / np.asarray(modulus_k, dtype=float)
    depth = ratio ** (1.0 / np.asarray(exponent, dtype=float))
    too_deep = (depth > np.asarray(clearance_m)) | (depth > np.asarray(shoe_width_m))
    return checked(depth, (BELLIED, too_deep))


def compaction_n(
    sinkage: npt.ArrayLike, modulus_k: npt.ArrayLike, exponent: npt.ArrayLike, shoe_width_m: npt.ArrayLike
) -> Floats:
    """Motion resistance of two tracks from pressing the soil down.

    Parameters
    ----------
    sinkage : array_like, shape (...)
        Sinkage [m], zero or more.
    modulus_k : array_like, shape (...)
        As `modulus` [N/m^(n+2)].
    exponent : array_like, shape (...)
        Sinkage exponent [1].
    shoe_width_m : array_like, shape (...)
        Shoe width [m], above zero.

    Returns
    -------
    ndarray, shape (...)
        Resistance [N], without bulldozing.

    Raises
    ------
    NotAllowedError
        A negative sinkage, or a width that is not above zero.

    References
    ----------
    Bekker: work of sinking per length, Rc = 2 b k z^(n+1) / (n+1).

    Examples
    --------
    >>> print(round(float(compaction_n(0.2270, 201.09e3, 1.6, 1.0)) / 1e3, 2))
    3.27
    """
    zero_or_more(sinkage=sinkage)
    above_zero(shoe_width=shoe_width_m)
    n = np.asarray(exponent, dtype=float)
    depth = np.asarray(sinkage, dtype=float)
    return np.asarray(2.0 * np.asarray(shoe_width_m) * np.asarray(modulus_k) * depth ** (n + 1) / (n + 1))
