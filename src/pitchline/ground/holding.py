"""What each ground gives a machine along a slope, moving and at rest, for every draw at once."""

from collections.abc import Callable, Sequence

import numpy as np

from pitchline.ground.checked import Floats
from pitchline.ground.slope import Hold, steepest_deg
from pitchline.ground.snow import traction_pa, traction_power
from pitchline.ground.soils import Ground, Surface

ANY_SLOPE_DEG = 90.0
"""Stands for every slope, where cohesion alone holds a machine."""


def slope_held_deg(hold: Hold) -> Floats:
    """Slope up to which the ground holds a machine, or lets it climb.

    Returns
    -------
    ndarray, shape (...)
        Slope [deg]: 0 where nothing is left on the level, `ANY_SLOPE_DEG` where cohesion alone holds it, NaN where unknown.

    References
    ----------
    `slope.steepest_deg`.
    """
    steepest = steepest_deg(hold)
    (_, held), (_, stuck) = steepest.outside
    return np.where(stuck, 0.0, np.where(held, ANY_SLOPE_DEG, steepest.figure))


def moving_hold(
    grounds: Sequence[Ground],
    soil: dict[str, Floats],
    cohesive: Floats,
    pressure_pa: Floats,
    share: Floats,
    rolling: Floats,
    drag: Floats,
    by_cone: Floats,
) -> Hold:
    """What is left to climb with: thrust at a slip less the resistances that grow with the load.

    Parameters
    ----------
    grounds : sequence of Ground
        The grounds.
    soil : dict of str to ndarray
        Their inputs by name, shape (g, 1, n) [as each name says].
    cohesive : ndarray, shape (g, w, n)
        Cohesion times contact area over weight [1]; NaN where no tested soil is known.
    pressure_pa : ndarray, shape (g, w, n)
        Pressure on the level [Pa].
    share : ndarray, shape (g, w, n)
        Share of the most thrust at that slip [1].
    rolling : ndarray, shape (1, 1, n)
        Internal resistance over the weight square to the slope [1].
    drag : ndarray, shape (g, w, n)
        Compaction resistance on the level over weight [1]; NaN where no tested soil is known.
    by_cone : ndarray, shape (g, w, n)
        Pull over weight by the cone index [1], taken where nothing better is known.

    Returns
    -------
    Hold
        Shape (g, w, n); NaN where the pull is unknown.

    References
    ----------
    Soil: `thrust`, `sinkage`. Hard ground: friction less rolling. Cone index: the slope's tangent is the pull over weight
    (Rula & Nuttall 1971, from memory).
    """

    def friction(number: int, ground: Ground) -> Floats:
        if ground.surface is Surface.HARD:
            return np.asarray(soil["sliding"][number] - rolling[0])
        if ground.winter is not None:
            return np.asarray(-rolling[0])
        if ground.terrains:
            return np.asarray(share[number] * _tangent(soil, number) - rolling[0])
        return np.asarray(by_cone[number])

    return _hold(grounds, soil, share * cohesive, pressure_pa, drag, friction)


def resting_hold(
    grounds: Sequence[Ground], soil: dict[str, Floats], cohesive: Floats, pressure_pa: Floats
) -> Hold:
    """What keeps a machine at rest from sliding, the same up, down and across a slope.

    Parameters
    ----------
    grounds : sequence of Ground
        The grounds.
    soil : dict of str to ndarray
        Their inputs by name, shape (g, 1, n) [as each name says].
    cohesive : ndarray, shape (g, w, n)
        Cohesion times contact area over weight [1]; NaN where no tested soil is known.
    pressure_pa : ndarray, shape (g, w, n)
        Pressure on the level [Pa].

    Returns
    -------
    Hold
        Shape (g, w, n); NaN where the grip is unknown, which a cone index does not tell.

    References
    ----------
    As `moving_hold`, with all of the thrust and no resistance: so no machine climbs what it slides on.
    """

    def friction(number: int, ground: Ground) -> Floats:
        if ground.surface is Surface.HARD:
            return np.asarray(soil["sliding"][number])
        return np.zeros((1, 1)) if ground.winter is not None else _tangent(soil, number)

    return _hold(grounds, soil, cohesive, pressure_pa, np.zeros_like(pressure_pa), friction)


def _tangent(soil: dict[str, Floats], number: int) -> Floats:
    return np.asarray(np.tan(np.radians(soil["soil_friction_deg"][number])))


def _hold(
    grounds: Sequence[Ground],
    soil: dict[str, Floats],
    cohesive: Floats,
    pressure_pa: Floats,
    drag: Floats,
    friction: Callable[[int, Ground], Floats],
) -> Hold:
    """Only tested soils have cohesion and drag; winter's traction stands in for friction."""
    shape = np.broadcast_shapes(cohesive.shape, pressure_pa.shape, drag.shape)
    cohesive, drag = (np.broadcast_to(one, shape).copy() for one in (cohesive, drag))
    friction_of, winter = np.zeros(shape), np.zeros(shape)
    power, grows = np.ones(shape), np.ones((len(grounds), 1, 1))
    for number, ground in enumerate(grounds):
        friction_of[number] = friction(number, ground)
        soft, snow = bool(ground.terrains), ground.winter
        if not soft or snow is not None:
            cohesive[number] = 0.0
        if soft:
            power[number] = 1.0 + 1.0 / soil["exponent"][number]
        else:
            drag[number] = 0.0
        if snow is not None:
            pressed = pressure_pa[number]
            winter[number] = soil["traction"][number] * traction_pa(pressed, snow).figure / pressed
            grows[number] = traction_power(snow)
    return Hold(cohesive, friction_of, drag, power, winter, grows)
