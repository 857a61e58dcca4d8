"""Pressure under tracks whose load stands off centre: rigid strips, two tracks, and the elastic section of both."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more

TIPS = "load_outside_tracks"


@dataclass(frozen=True, slots=True)
class StripPressure:
    """Pressure under one rigid strip.

    Parameters
    ----------
    most, least : Checked
        Pressure at the loaded and at the far end [Pa]; no number where it tips.
    loaded_m : ndarray, shape (...)
        Length that is pressed on [m].

    References
    ----------
    See `strip_pressure`.
    """

    most: Checked
    least: Checked
    loaded_m: Floats


def strip_pressure(
    load_n: npt.ArrayLike, width_m: npt.ArrayLike, length_m: npt.ArrayLike, offset_m: npt.ArrayLike
) -> StripPressure:
    """Linear pressure under a rigid strip with its load off the middle.

    Parameters
    ----------
    load_n : array_like, shape (...)
        Load [N]; below zero it has lifted off, which counts as tipping.
    width_m, length_m : array_like, shape (...)
        Sides of the strip [m], above zero.
    offset_m : array_like, shape (...)
        How far the load stands from the middle, along the length [m], either way.

    Returns
    -------
    StripPressure
        Most and least pressure [Pa], and the loaded length [m].

    Raises
    ------
    NotAllowedError
        A side that is not above zero.

    References
    ----------
    FHWA GEC-6, *Shallow Foundations*, FHWA-SA-02-054, Eq. 6-9 to 6-13. Inside a sixth of the length the whole strip is
    pressed; beyond it a shorter part; at half the length it tips.

    Examples
    --------
    >>> found = strip_pressure(200e3, 0.6, 3.6, 1.0)
    >>> print(round(found.most.one / 1e3, 1), round(float(found.loaded_m), 2))
    277.8 2.4
    """
    above_zero(width=width_m, length=length_m)
    load, width, length = (np.asarray(one, dtype=float) for one in (load_n, width_m, length_m))
    offset = np.abs(np.asarray(offset_m, dtype=float))
    tips = (offset >= length / 2) | (load < 0)
    arm = np.where(tips, length / 2, length / 2 - offset)
    mean = load / (width * length)
    whole = offset <= length / 6
    most = np.where(whole, mean * (1 + 6 * offset / length), 2 * load / (3 * width * arm))
    least = np.where(whole, mean * (1 - 6 * offset / length), 0.0)
    loaded = np.where(whole, length, 3 * arm)
    return StripPressure(checked(most, (TIPS, tips)), checked(least, (TIPS, tips)), np.where(tips, 0.0, loaded))


@dataclass(frozen=True, slots=True)
class TrackPressure:
    """Pressure under both tracks.

    Parameters
    ----------
    left_n, right_n : ndarray, shape (...)
        Load on each track [N]; below zero it has lifted off.
    left, right : StripPressure
        Pressure under each.

    References
    ----------
    See `track_pressure`.
    """

    left_n: Floats
    right_n: Floats
    left: StripPressure
    right: StripPressure

    @property
    def most_pa(self) -> Floats:
        """The higher of both tracks' highest pressures, shape (...) [Pa]; NaN where it tips."""
        return np.maximum(self.left.most.figure, self.right.most.figure)


def track_pressure(
    weight_n: npt.ArrayLike,
    width_m: npt.ArrayLike,
    length_m: npt.ArrayLike,
    centres_m: npt.ArrayLike,
    forward_m: npt.ArrayLike,
    right_m: npt.ArrayLike,
) -> TrackPressure:
    """Pressure under two rigid tracks whose load stands anywhere over them.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Whole weight [N], above zero.
    width_m, length_m, centres_m : array_like, shape (...)
        Shoe width, contact length, and distance between the tracks' centre lines [m], above zero.
    forward_m, right_m : array_like, shape (...)
        Where the load stands from the middle: forward and to the right [m], either sign.

    Returns
    -------
    TrackPressure
        Load and pressure of each track; no number where it tips.

    Raises
    ------
    NotAllowedError
        A size that is not above zero.

    References
    ----------
    Statics: W (1/2 +/- C/B) on each track; the offset along then acts in each (`strip_pressure`).

    Examples
    --------
    >>> found = track_pressure(600e3, 0.8, 5.0, 3.6, 0.5, 0.45)
    >>> print(round(found.right.most.one / 1e3, 1), round(found.left.most.one / 1e3, 1))
    150.0 90.0
    """
    above_zero(weight=weight_n, distance_between_tracks=centres_m)
    tilt = np.asarray(right_m, dtype=float) / np.asarray(centres_m, dtype=float)
    weight = np.asarray(weight_n, dtype=float)
    left_n, right_n = weight * (0.5 - tilt), weight * (0.5 + tilt)
    lifted = np.minimum(left_n, right_n) < 0
    gone = np.where(lifted, np.inf, np.abs(np.asarray(forward_m, dtype=float)))
    return TrackPressure(
        left_n,
        right_n,
        strip_pressure(left_n, width_m, length_m, gone),
        strip_pressure(right_n, width_m, length_m, gone),
    )


def offset_over(
    mass_kg: npt.ArrayLike,
    own_offset_m: npt.ArrayLike,
    load_kg: npt.ArrayLike,
    reach_m: npt.ArrayLike,
) -> Floats:
    """Where the weight of machine and load stands along the boom.

    Parameters
    ----------
    mass_kg : array_like, shape (...)
        Mass of the machine [kg], above zero.
    own_offset_m : array_like, shape (...)
        Its own centre of gravity ahead of the slew centre, along the boom [m]; negative behind it.
    load_kg : array_like, shape (...)
        Load [kg], zero or more.
    reach_m : array_like, shape (...)
        From the slew centre to the load [m], zero or more.

    Returns
    -------
    ndarray, shape (...)
        Offset along the boom [m].

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Statics: mean of the places, weighted by mass.
    """
    above_zero(mass=mass_kg)
    zero_or_more(load=load_kg, reach=reach_m)
    mass, load = np.asarray(mass_kg, dtype=float), np.asarray(load_kg, dtype=float)
    return np.asarray((mass * np.asarray(own_offset_m) + load * np.asarray(reach_m)) / (mass + load))


def slew_pressure(
    weight_n: npt.ArrayLike,
    width_m: npt.ArrayLike,
    length_m: npt.ArrayLike,
    centres_m: npt.ArrayLike,
    offset_m: npt.ArrayLike,
    slew_deg: npt.ArrayLike,
) -> TrackPressure:
    """Pressure under both tracks with the upper structure turned.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Whole weight, load included [N], above zero.
    width_m, length_m, centres_m : array_like, shape (...)
        Shoe width, contact length, and distance between the tracks' centre lines [m], above zero.
    offset_m : array_like, shape (...)
        As `offset_over` [m].
    slew_deg : array_like, shape (...)
        Boom to the right of straight ahead [deg].

    Returns
    -------
    TrackPressure
        For each angle; no number where it tips.

    Raises
    ------
    NotAllowedError
        A size that is not above zero.

    References
    ----------
    As `track_pressure`. That every slew angle is looked at: as outlined by the Federation of Piling Specialists' guidance for
    working platforms.
    """
    angle = np.radians(np.asarray(slew_deg, dtype=float))
    offset = np.asarray(offset_m, dtype=float)
    return track_pressure(weight_n, width_m, length_m, centres_m, offset * np.cos(angle), offset * np.sin(angle))
