"""Bearing resistance of the ground under one track: ultimate values, drained and undrained."""

import math

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more

SAFETY_FACTOR = 2.0
"""Stated on every figure that uses it; our own choice for a comparison, not a design value."""
LEAST_FRICTION_DEG, MOST_FRICTION_DEG = 1.0, 45.0
SHEARS, SLIDES_FIRST = "shears", "slides_first"
_FRICTION_END = "friction_outside_formulas"


def undrained_pa(
    shear_strength_pa: npt.ArrayLike,
    short_m: npt.ArrayLike,
    long_m: npt.ArrayLike,
    beside_pa: npt.ArrayLike = 0.0,
    sideways_pa: npt.ArrayLike = 0.0,
) -> Checked:
    """Bearing resistance of clay that has no time to drain.

    Parameters
    ----------
    shear_strength_pa : array_like, shape (...)
        Undrained shear strength [Pa], above zero.
    short_m, long_m : array_like, shape (...)
        Shorter and longer side of the loaded area [m], above zero.
    beside_pa : array_like, shape (...)
        Pressure of soil beside the track at its level [Pa], zero or more.
    sideways_pa : array_like, shape (...)
        Level force over the area [Pa], zero or more.

    Returns
    -------
    Checked
        Resistance to the area [Pa], ultimate; no number where the level force alone shears the soil.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    EN 1997-1:2004 Annex D (informative), Eq. D.1, level base.

    Examples
    --------
    >>> print(round(undrained_pa(40e3, 0.60, 3.65).one / 1e3, 1))
    212.4
    """
    above_zero(shear_strength=shear_strength_pa, shorter_side=short_m, longer_side=long_m)
    zero_or_more(soil_beside=beside_pa, level_force=sideways_pa)
    strength = np.asarray(shear_strength_pa, dtype=float)
    shape = 1.0 + 0.2 * np.asarray(short_m, dtype=float) / np.asarray(long_m)
    used = np.asarray(sideways_pa, dtype=float) / strength
    slant = 0.5 * (1.0 + np.sqrt(np.maximum(1.0 - used, 0.0)))
    found = (math.pi + 2.0) * strength * shape * slant + np.asarray(beside_pa)
    return checked(found, (SHEARS, used > 1.0))


def bearing_factors(friction_deg: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Factors for cohesion and for soil beside the track.

    Parameters
    ----------
    friction_deg : array_like, shape (...)
        Angle of friction [deg], above 0.

    Returns
    -------
    tuple of ndarray, shapes (...)
        Nc and Nq [1].

    References
    ----------
    EN 1997-1:2004 Annex D: Nq = exp(pi tan phi) tan^2(45 + phi/2), Nc = (Nq - 1) cot phi.
    """
    angle = np.radians(np.asarray(friction_deg, dtype=float))
    n_q = np.exp(math.pi * np.tan(angle)) * np.tan(math.pi / 4 + angle / 2) ** 2
    return np.asarray((n_q - 1.0) / np.tan(angle)), np.asarray(n_q)


def drained_pa(
    cohesion_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
    weight_n_m3: npt.ArrayLike,
    short_m: npt.ArrayLike,
    long_m: npt.ArrayLike,
    beside_pa: npt.ArrayLike = 0.0,
) -> Checked:
    """Bearing resistance of soil that drains, vertical load.

    Parameters
    ----------
    cohesion_pa : array_like, shape (...)
        Effective cohesion [Pa], zero or more.
    friction_deg : array_like, shape (...)
        Effective angle of friction [deg].
    weight_n_m3 : array_like, shape (...)
        Unit weight of the soil below, less water where it stands [N/m3], zero or more.
    short_m, long_m : array_like, shape (...)
        Shorter and longer side of the loaded area [m], above zero.
    beside_pa : array_like, shape (...)
        Pressure of soil beside the track at its level [Pa], zero or more.

    Returns
    -------
    Checked
        Resistance to the area [Pa], ultimate; no number for angles outside 1 to 45 degrees.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    EN 1997-1:2004 Annex D (informative), Eq. D.2, level base and no level force.

    Examples
    --------
    >>> print(round(drained_pa(5e3, 25, 18e3, 0.6, 3.6).one / 1e3, 1))
    157.9
    """
    slant = np.ones(())
    return _annex_d(cohesion_pa, friction_deg, weight_n_m3, short_m, long_m, beside_pa, (slant, slant, slant))


def drained_slanted_pa(
    cohesion_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
    weight_n_m3: npt.ArrayLike,
    short_m: npt.ArrayLike,
    long_m: npt.ArrayLike,
    beside_pa: npt.ArrayLike,
    load_n: npt.ArrayLike,
    across_n: npt.ArrayLike,
    along_n: npt.ArrayLike,
) -> Checked:
    """Bearing resistance of soil that drains, with level forces across and along the track.

    Parameters
    ----------
    cohesion_pa : array_like, shape (...)
        Effective cohesion [Pa], zero or more.
    friction_deg : array_like, shape (...)
        Effective angle of friction [deg].
    weight_n_m3 : array_like, shape (...)
        Unit weight of the soil below [N/m3], zero or more.
    short_m, long_m : array_like, shape (...)
        Shorter and longer side of the loaded area [m], above zero.
    beside_pa : array_like, shape (...)
        Pressure of soil beside the track at its level [Pa], zero or more.
    load_n : array_like, shape (...)
        Load square to the ground [N], above zero.
    across_n, along_n : array_like, shape (...)
        Level force along the shorter and along the longer side [N], zero or more.

    Returns
    -------
    Checked
        Resistance to the area [Pa], ultimate; no number for angles outside 1 to 45 degrees, or where it slides.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    EN 1997-1:2004 Annex D (informative), Eq. D.2 with the factors iq, ic, igamma.
    """
    above_zero(load=load_n)
    zero_or_more(level_force_across=across_n, level_force_along=along_n)
    across, along = np.asarray(across_n, dtype=float), np.asarray(along_n, dtype=float)
    level = np.hypot(across, along)
    tangent = np.tan(np.radians(np.asarray(friction_deg, dtype=float)))
    short, long = np.asarray(short_m, dtype=float), np.asarray(long_m, dtype=float)
    held = np.asarray(load_n, dtype=float) + short * long * np.asarray(cohesion_pa) / tangent
    power = _power(short / long, across, along)
    left = np.maximum(1.0 - level / held, 0.0)
    i_q = left**power
    n_c, _ = bearing_factors(friction_deg)
    i_c = i_q - (1.0 - i_q) / (n_c * tangent)
    found = _annex_d(
        cohesion_pa, friction_deg, weight_n_m3, short_m, long_m, beside_pa, (i_c, i_q, left ** (power + 1))
    )
    slides = (SLIDES_FIRST, np.broadcast_to(level >= held, found.figure.shape))
    return checked(found.figure, *found.outside, slides)


def _power(ratio: Floats, across: Floats, along: Floats) -> Floats:
    """Exponent m between that of a force along the shorter side and along the longer one."""
    total = across**2 + along**2
    share = np.where(total > 0, across**2 / np.where(total > 0, total, 1.0), 1.0)
    m_across = (2.0 + ratio) / (1.0 + ratio)
    m_along = (2.0 + 1.0 / ratio) / (1.0 + 1.0 / ratio)
    return np.asarray(m_along * (1.0 - share) + m_across * share)


def _annex_d(
    cohesion_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
    weight_n_m3: npt.ArrayLike,
    short_m: npt.ArrayLike,
    long_m: npt.ArrayLike,
    beside_pa: npt.ArrayLike,
    slant: tuple[Floats, Floats, Floats],
) -> Checked:
    friction, outside = _within(cohesion_pa, friction_deg, weight_n_m3, short_m, long_m, beside_pa)
    short, long = np.asarray(short_m, dtype=float), np.asarray(long_m, dtype=float)
    n_c, n_q = bearing_factors(friction)
    tangent, sine = np.tan(np.radians(friction)), np.sin(np.radians(friction))
    s_q = 1.0 + short / long * sine
    s_g = 1.0 - 0.3 * short / long
    s_c = (s_q * n_q - 1.0) / (n_q - 1.0)
    i_c, i_q, i_g = slant
    found = (
        np.asarray(cohesion_pa) * n_c * s_c * i_c
        + np.asarray(beside_pa) * n_q * s_q * i_q
        + 0.5 * np.asarray(weight_n_m3) * short * 2.0 * (n_q - 1.0) * tangent * s_g * i_g
    )
    return checked(found, (_FRICTION_END, np.broadcast_to(outside, np.shape(found))))


def _within(
    cohesion_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
    weight_n_m3: npt.ArrayLike,
    short_m: npt.ArrayLike,
    long_m: npt.ArrayLike,
    beside_pa: npt.ArrayLike,
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Angle inside the formulas' range, and where it was not."""
    above_zero(shorter_side=short_m, longer_side=long_m)
    zero_or_more(cohesion=cohesion_pa, unit_weight=weight_n_m3, soil_beside=beside_pa)
    friction = np.asarray(friction_deg, dtype=float)
    outside = (friction < LEAST_FRICTION_DEG) | (friction > MOST_FRICTION_DEG)
    return np.where(outside, LEAST_FRICTION_DEG, friction), outside
