"""Cone index method: what a penetrometer says about the passes a soil carries."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import INCH_M, POUND_KG
from pitchline.trade.writing import as_figure

MOST_INDEX = 300.0
"""A cone index is read on a scale from 0 to 300."""
_HORSEPOWER_W = 550 * 12 * INCH_M * POUND_KG * 9.80665
_SHORT_TON_KG = 2000 * POUND_KG


@dataclass(frozen=True, slots=True)
class ConeMachine:
    """What the mobility index asks of a machine; scalars or arrays that broadcast.

    Parameters
    ----------
    mass_kg : array_like, shape (...)
        Gross mass [kg], above zero.
    shoe_width_m, level_length_m : array_like, shape (...)
        Width of one shoe and length of track on the ground [m], above zero.
    rollers : array_like of int, shape (...)
        Rollers on the ground, both tracks together, above zero.
    shoe_area_m2 : array_like, shape (...)
        Area of one shoe [m2], above zero.
    clearance_m : array_like, shape (...)
        Ground clearance [m], zero or more.
    power_w : array_like, shape (...)
        Engine power [W], above zero.
    grouser_m : array_like, shape (...)
        Grouser height [m], zero or more.
    hydraulic : bool
        Hydraulic or automatic drive, not a mechanical gearbox.

    References
    ----------
    See `mobility_index`.
    """

    mass_kg: npt.ArrayLike
    shoe_width_m: npt.ArrayLike
    level_length_m: npt.ArrayLike
    rollers: npt.ArrayLike
    shoe_area_m2: npt.ArrayLike
    clearance_m: npt.ArrayLike
    power_w: npt.ArrayLike
    grouser_m: npt.ArrayLike
    hydraulic: bool = True


def cone_pressure_psi(machine: ConeMachine) -> Floats:
    """Contact pressure as the mobility index takes it, in pounds to the square inch of both tracks.

    Returns
    -------
    ndarray, shape (...)
        Pressure [psi], the unit the method is written in.

    Raises
    ------
    NotAllowedError
        A size that is not above zero.

    References
    ----------
    See `mobility_index`.
    """
    above_zero(mass=machine.mass_kg, shoe_width=machine.shoe_width_m, contact_length=machine.level_length_m)
    pounds = np.asarray(machine.mass_kg, dtype=float) / POUND_KG
    width, length = (
        np.asarray(one, dtype=float) / INCH_M for one in (machine.shoe_width_m, machine.level_length_m)
    )
    return np.asarray(pounds / (2.0 * width * length))


def mobility_index(machine: ConeMachine) -> Floats:
    """Mobility index of a tracked machine.

    Returns
    -------
    ndarray, shape (...)
        The index [1].

    Raises
    ------
    NotAllowedError
        A size that is not above zero.

    References
    ----------
    US Army FM 5-430-00-1 (1994) ch. 7, tracked factors as seen in open-source code citing it and Wong et al. (2020). Contact
    pressure over both tracks; the engine factor in the sense of Priddy (1999).

    Examples
    --------
    A tractor of 40 000 lb on 22 in shoes:

    >>> inch, pound = 0.0254, 0.45359237
    >>> tractor = ConeMachine(40_000 * pound, 22 * inch, 102 * inch, 12, 176 * inch**2, 15 * inch, 160 * 745.7, 2.5 * inch)
    >>> print(round(float(mobility_index(tractor)), 2))
    39.08
    """
    above_zero(rollers=machine.rollers, area_of_a_shoe=machine.shoe_area_m2, engine_power=machine.power_w)
    zero_or_more(ground_clearance=machine.clearance_m, grouser_height=machine.grouser_m)
    mass = np.asarray(machine.mass_kg, dtype=float)
    pounds = mass / POUND_KG
    weight = np.select([pounds < 50_000, pounds < 70_000, pounds < 100_000], [1.0, 1.2, 1.4], 1.8)
    track = np.asarray(machine.shoe_width_m, dtype=float) / INCH_M / 100
    grouser = np.where(np.asarray(machine.grouser_m, dtype=float) > 1.5 * INCH_M, 1.1, 1.0)
    shoe_in2 = np.asarray(machine.shoe_area_m2, dtype=float) / INCH_M**2
    bogie = pounds / 10 / (np.asarray(machine.rollers, dtype=float) * shoe_in2)
    clearance = np.asarray(machine.clearance_m, dtype=float) / INCH_M / 10
    power_to_mass = np.asarray(machine.power_w, dtype=float) / _HORSEPOWER_W / (mass / _SHORT_TON_KG)
    engine = np.where(power_to_mass >= 10, 1.0, 1.05)
    drive = 1.0 if machine.hydraulic else 1.05
    pressed = cone_pressure_psi(machine) * weight / (track * grouser)
    return np.asarray((pressed + bogie - clearance) * engine * drive)


def index_for_one_pass(mobility: npt.ArrayLike) -> Checked:
    """Rating cone index a machine needs for one pass.

    Parameters
    ----------
    mobility : array_like, shape (...)
        Mobility index [1].

    Returns
    -------
    Checked
        VCI1; no number where the machine is lighter than the curve was made for.

    References
    ----------
    As `mobility_index`; the curve is of use where it rises from above 0.

    Examples
    --------
    >>> print(round(index_for_one_pass(39.08).one, 2))
    13.94
    """
    index = np.asarray(mobility, dtype=float)
    safe = np.maximum(index, 0.0)
    return checked(7.0 + 0.2 * safe - 39.2 / (safe + 5.6), ("mobility_index_below_0", index < 0))


def index_for_fifty_passes(mobility: npt.ArrayLike) -> Checked:
    """Rating cone index a machine needs for fifty passes in the same rut.

    Parameters
    ----------
    mobility : array_like, shape (...)
        Mobility index [1].

    Returns
    -------
    Checked
        VCI50; no number where the machine is lighter than the curve was made for.

    References
    ----------
    As `index_for_one_pass`; coefficients from memory, the pair agrees with a published 17 / 40 as 16.4 / 38.8.
    """
    index = np.asarray(mobility, dtype=float)
    safe = np.maximum(index, 0.0)
    return checked(19.27 + 0.43 * safe - 125.79 / (safe + 7.08), ("mobility_index_below_0", index < 0))


def rating_index(cone_index: npt.ArrayLike, remould: npt.ArrayLike) -> Floats:
    """Rating cone index: what a soil keeps of its strength once it is kneaded.

    Parameters
    ----------
    cone_index : array_like, shape (...)
        Reading of the critical layer on the scale from 0 to 300 [1].
    remould : array_like, shape (...)
        Remould index [1], zero or more; of fine-grained soils and sands that remould only.

    Returns
    -------
    ndarray, shape (...)
        Rating cone index [1].

    Raises
    ------
    NotAllowedError
        A reading off its scale.

    References
    ----------
    US Army Engineer subcourse EN5341: RCI = CI x RI. Cone of 30 degrees, base 0.5 square inch, read every 6 inches.

    Examples
    --------
    >>> print(round(float(rating_index(49, 0.87)), 2))
    42.63
    """
    zero_or_more(cone_index=cone_index, remould_index=remould)
    reading = np.asarray(cone_index, dtype=float)
    if (reading > MOST_INDEX).any():
        raise NotAllowedError("cone index", as_figure(np.nanmax(reading), "g"), "0 to 300", "Read the dial again.")
    return np.asarray(reading * np.asarray(remould, dtype=float))


def surplus_pull(surplus: npt.ArrayLike, pressure_psi: npt.ArrayLike) -> Checked:
    """Drawbar pull over weight on level ground, from the strength to spare.

    Parameters
    ----------
    surplus : array_like, shape (...)
        Rating cone index less the index for one pass [1].
    pressure_psi : array_like, shape (...)
        Contact pressure [psi], as `cone_pressure_psi`.

    Returns
    -------
    Checked
        Pull over weight [1], close to the tangent of the slope it climbs; no number where one pass is too many.

    References
    ----------
    Rula & Nuttall (1971), whole block from memory.

    Examples
    --------
    >>> print(round(surplus_pull(20.0, 8.9).one, 4))
    0.5436
    """
    spare, pressure = np.broadcast_arrays(np.asarray(surplus, dtype=float), np.asarray(pressure_psi, dtype=float))
    x = np.maximum(spare, 0.0)
    heavy = pressure >= 4
    half = np.where(heavy, 0.4554 + 0.0392 * x, 0.544 + 0.0463 * x)
    pull = half - np.sqrt(np.maximum(half**2 - np.where(heavy, 0.0526, 0.0702) * x, 0.0))
    return checked(pull, ("does_not_carry_one_pass", spare < 0))
