"""The constants of the wear model, and what is believed of them before any reading.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.paths import GROUNDS, FloatArray
from pitchline.trade.ground import GroundClass

ABRASIVENESS_G_PER_T = (70.7, 158.1, 353.6, 790.6, 1581.1)
"""Geometric middle of an LCPC abrasiveness class for each ground class [g/t], class bounds 50, 100, 250, 500, 1250 and
2000 g/t after Thuro and Käsling (from memory). That our five grounds stand beside these classes is our own assumption."""
ABRASIVENESS_EXPONENT = 0.35
"""How the wear rate follows abrasiveness [1]: an assumption of this project, not a published value."""


@dataclass(frozen=True, slots=True)
class Constants:
    """b sets of the model's constants.

    Parameters
    ----------
    log_rate : ndarray, shape (b, k)
        Mean log wear rate of each kind on middling ground [log of life used per hour].
    ground : ndarray, shape (b, g)
        Log effect of each ground class on the rate [1]; zero for medium.
    machine_spread : ndarray, shape (b,)
        Standard deviation of the machine effect [1], above zero.
    part_spread : ndarray, shape (b,)
        Standard deviation of the part effect [1], above zero.
    noise : ndarray, shape (b,)
        Process-noise scale: variance of wear over mean wear [1], above zero.
    span_spread : ndarray, shape (b,)
        Standard deviation of the rate from span to span between readings, as a share of it [1], zero or more.
    log_rate_u : ndarray, shape (k,), or None
        How far the pace of each kind on a machine may be from that mean [1], one standard deviation: every pace is then weighed
        by what the parts of the kind say. None where the mean is that pace.

    References
    ----------
    Model after Lu and Meeker, Technometrics 35 (1993) 161, with a gamma-process noise (van Noortwijk, Reliab. Eng. Syst.
    Saf. 94 (2009) 2); see docs/explanation/outlook.md.
    """

    log_rate: FloatArray
    ground: FloatArray
    machine_spread: FloatArray
    part_spread: FloatArray
    noise: FloatArray
    span_spread: FloatArray
    log_rate_u: FloatArray | None = None

    def some(self, sets: slice) -> "Constants":
        """Some of the sets."""
        spreads = (self.machine_spread, self.part_spread, self.noise, self.span_spread)
        first, second, third, fourth = (spread[sets] for spread in spreads)
        return Constants(self.log_rate[sets], self.ground[sets], first, second, third, fourth, self.log_rate_u)

    def middle(self) -> "Constants":
        """One set with the mean of each constant over the sets."""
        log_rate, ground = self.log_rate.mean(axis=0)[None], self.ground.mean(axis=0)[None]
        spreads = (self.machine_spread, self.part_spread, self.noise, self.span_spread)
        return Constants(log_rate, ground, *(np.atleast_1d(spread.mean()) for spread in spreads))


@dataclass(frozen=True, slots=True)
class Priors:
    """What is believed of the constants before any reading; each figure normal, spreads and noise on a log scale.

    Parameters
    ----------
    log_rate, log_rate_u : ndarray, shape (k,)
        Mean and standard deviation of each kind's log rate [log of life used per hour].
    ground, ground_u : ndarray, shape (g,)
        Mean and standard deviation of each ground's log effect [1].
    log_machine_spread, log_part_spread, log_noise, log_span_spread : tuple of float
        Mean and standard deviation of the logarithm [1].
    """

    log_rate: FloatArray
    log_rate_u: FloatArray
    ground: FloatArray
    ground_u: FloatArray
    log_machine_spread: tuple[float, float] = (float(np.log(0.30)), 0.5)
    log_part_spread: tuple[float, float] = (float(np.log(0.25)), 0.5)
    log_noise: tuple[float, float] = (float(np.log(0.005)), 0.7)
    log_span_spread: tuple[float, float] = (float(np.log(0.05)), 0.7)

    @property
    def spreads(self) -> tuple[tuple[float, float], ...]:
        """Mean and standard deviation of the logs of machine spread, part spread, noise and span spread [1]."""
        return (self.log_machine_spread, self.log_part_spread, self.log_noise, self.log_span_spread)

    def usual(self) -> Constants:
        """One set with the mean of each, every pace of a kind weighed."""
        machine, part, noise, span = (np.exp([mean]) for mean, _ in self.spreads)
        return Constants(self.log_rate[None], self.ground[None], machine, part, noise, span, self.log_rate_u)


def weak_priors(typical_life_h: FloatArray, log_spread: FloatArray) -> Priors:
    """Priors from typical lives on middling ground.

    Parameters
    ----------
    typical_life_h : ndarray, shape (k,)
        Hours from new to the limit [h], above zero.
    log_spread : ndarray, shape (k,)
        Standard deviation of its logarithm [1], above zero.

    Returns
    -------
    Priors
        With the ground effects set by abrasiveness, each 0.35 wide.

    References
    ----------
    Our own assumption for the ground effects: exponent 0.35 on LCPC abrasiveness (classes from memory).
    """
    reference = ABRASIVENESS_G_PER_T[GroundClass.MIDDLING]
    ground = ABRASIVENESS_EXPONENT * np.log(np.array(ABRASIVENESS_G_PER_T) / reference)
    spread = np.full(GROUNDS, 0.35)
    spread[GroundClass.MIDDLING] = 0.0
    return Priors(-np.log(typical_life_h), np.asarray(log_spread, float), ground, spread)


def effective_hours(hours_h: FloatArray, ground: FloatArray) -> FloatArray:
    """Hours weighted by how hard each ground wears.

    Parameters
    ----------
    hours_h : ndarray, shape (..., g)
        Hours in each ground class [h], zero or more.
    ground : ndarray, shape (g,)
        Log effect of each [1].

    Returns
    -------
    ndarray, shape (...)
        Effective hours [h] of the reference ground.

    Examples
    --------
    >>> round(float(effective_hours(np.array([1000.0, 500.0, 250.0]), np.array([0.4, -0.7, 0.0]))), 6)
    1990.11735
    """
    return np.asarray(hours_h @ np.exp(ground))
