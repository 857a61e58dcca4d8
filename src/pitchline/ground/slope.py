"""Slopes: where a machine tips, slides and no longer climbs, and how far a slope moves its load. No permit."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more

HELD, STUCK = "cohesion_holds", "does_not_move_on_level"
_TURNS, _CLOSE, _LEAST = 60, 1e-5, 1e-9
"""The last step of Newton's method [rad]: its error is about the square of that."""


@dataclass(frozen=True, slots=True)
class Hold:
    """What the ground gives a machine along a slope, over its weight; x is the share of the weight square to the slope.

    The sum is cohesive + frictional x + winter x^winter_power - drag x^drag_power.

    Parameters
    ----------
    cohesive : ndarray, shape (...)
        Cohesion times contact area, over weight [1]; no slope lessens it.
    frictional : ndarray, shape (...)
        Friction less what rolls against it, over the weight square to the slope [1].
    drag, drag_power : ndarray, shape (...)
        Compaction resistance on the level over weight, and how it grows with the load [1].
    winter, winter_power : ndarray, shape (...)
        Traction on snow or ice on the level over weight, and how it grows with the load [1].

    References
    ----------
    Each term by its own module: `thrust`, `sinkage`, `snow`. The law is statics: only the weight square to the slope presses.
    """

    cohesive: Floats
    frictional: Floats
    drag: Floats
    drag_power: Floats
    winter: Floats
    winter_power: Floats

    def over_weight(self, slope_deg: npt.ArrayLike) -> Floats:
        """Force along the slope over weight, before the weight's own pull downhill.

        Parameters
        ----------
        slope_deg : array_like, shape (...)
            Slope [deg], 0 to 90.

        Returns
        -------
        ndarray, shape (...)
            Force over weight [1].
        """
        return _sum(np.cos(np.radians(np.asarray(slope_deg, dtype=float))), *self.terms)

    @property
    def terms(self) -> tuple[Floats, ...]:
        """The terms in the order of the sum, each of shape (...) [1]."""
        return self.cohesive, self.frictional, self.drag, self.drag_power, self.winter, self.winter_power


def _sum(
    x: Floats, cohesive: Floats, friction: Floats, drag: Floats, power: Floats, winter: Floats, grows: Floats
) -> Floats:
    return np.asarray(cohesive + friction * x + winter * x**grows - drag * x**power)


def steepest_deg(hold: Hold) -> Checked:
    """Slope on which what the ground gives along it just balances the weight's pull downhill.

    Parameters
    ----------
    hold : Hold
        What the ground gives, moving or at rest.

    Returns
    -------
    Checked
        Slope [deg]; no number where there is nothing left on the level, or where cohesion alone holds the machine.

    References
    ----------
    F(W cos t) - Rc(W cos t) - Ri(W cos t) = W sin t, solved for t between brackets (Newton's method, textbook). The brackets
    are the slopes with the level's drag and with none, for which the balance is C + a cos t = sin t.

    Examples
    --------
    Hard ground, friction 0.6, rolling 0.04: tan t = 0.56.

    >>> none, one = np.zeros(()), np.ones(())
    >>> print(round(steepest_deg(Hold(none, np.asarray(0.56), none, one, none, one)).one, 2))
    29.25
    """
    terms = np.broadcast_arrays(*hold.terms)
    cohesive, friction, drag, _, winter, _ = terms
    level = _sum(np.ones(()), *terms)
    high = np.where(winter > 0, np.pi / 2, _without_drag(cohesive, friction))
    held, stuck = cohesive >= 1.0, level < 0
    found = np.where(np.isnan(level), np.nan, high)
    at = np.isfinite(level) & ~held & ~stuck & ((drag > 0) | (winter > 0))
    if at.any():
        low = np.where(winter[at] > 0, 0.0, _without_drag(cohesive[at] - drag[at], friction[at]))
        found[at] = _balanced(low, high[at], *(one[at] for one in terms))
    return checked(np.degrees(found), (HELD, held), (STUCK, stuck))


def _balanced(low: Floats, high: Floats, *terms: Floats) -> Floats:
    """Slope between two others [rad] on which the sum is the weight's own pull downhill: Newton's method, held in the bracket."""
    cohesive, friction, drag, power, winter, grows = terms
    slope, grip, is_winter = (low + high) / 2, np.zeros(()), bool(winter.any())
    for _ in range(_TURNS):
        x, pull = np.cos(slope), np.sin(slope)
        held = drag * x**power
        if is_winter:  # powers are nearly all of the work
            grip = winter * x**grows
        over = cohesive + friction * x + grip - held - pull
        low, high = np.where(over > 0, slope, low), np.where(over > 0, high, slope)
        rise = -pull * (friction + (grows * grip - power * held) / np.maximum(x, _LEAST)) - x
        newton = slope - over / rise
        new = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
        off, slope = np.abs(new - slope), new
        if bool((off < _CLOSE).all()):
            break
    return slope


def _without_drag(cohesive: Floats, friction: Floats) -> Floats:
    """Slope of C + a cos t = sin t [rad], which is C cos(u) = sin(t - u) with tan(u) = a."""
    turned = np.arctan(friction)
    return np.asarray(turned + np.arcsin(np.clip(cohesive * np.cos(turned), -1.0, 1.0)))


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
    return checked(found, ("tips_on_level", reach < 0))


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
