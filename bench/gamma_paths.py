"""Exact draws of a gamma process: how far it has grown, and when it first reaches a level.

Everything is counted in expected wear: over expected wear s the process grows by Gamma(shape s / noise, scale noise), mean s and
variance noise times s. Increments between known ends are halved with beta draws (the gamma bridge), so that a crossing can be
narrowed down without a fine grid. Only numpy; nothing of the package is used. References: van Noortwijk, Reliab. Eng. Syst. Saf.
94 (2009) 2; the bridge of a gamma process is a beta distribution (textbook).
"""

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

HALVINGS = 13
"""Halvings of a step of half the distance: a crossing is known to about a part in 16,000 of the way."""


def first_passage(rng: np.random.Generator, distance: FloatArray, noise: float) -> tuple[FloatArray, FloatArray]:
    """Expected wear until the process has grown by a distance, and by how much it then jumps beyond; 0 for nothing to go."""
    step = 0.5 * np.maximum(distance, 4 * noise)
    start, grown, last = np.zeros(distance.size), np.zeros(distance.size), np.zeros(distance.size)
    going = np.flatnonzero(distance > 0)
    ahead = going
    while ahead.size:
        last[ahead] = noise * rng.gamma(step[ahead] / noise)
        ahead = ahead[grown[ahead] + last[ahead] < distance[ahead]]
        start[ahead] += step[ahead]
        grown[ahead] += last[ahead]
    at, beyond = np.zeros(distance.size), np.maximum(-distance, 0.0)
    within, over = bridge_passage(rng, distance[going] - grown[going], step[going], last[going], noise)
    at[going], beyond[going] = start[going] + within, over
    return at, beyond


def bridge_passage(
    rng: np.random.Generator, distance: FloatArray, span: FloatArray, growth: FloatArray, noise: float
) -> tuple[FloatArray, FloatArray]:
    """Where inside a span of expected wear the process, known to grow by at least the distance, reaches it; and the jump."""
    low, below, growth, span = np.zeros(distance.size), np.zeros(distance.size), growth.copy(), span.copy()
    for _ in range(HALVINGS):
        span /= 2
        part = growth * rng.beta(span / noise, span / noise)
        reached = below + part >= distance
        low += np.where(reached, 0.0, span)
        below += np.where(reached, 0.0, part)
        growth = np.where(reached, part, growth - part)
    return low + span, np.maximum(below + growth - distance, 0.0)


def grow(
    rng: np.random.Generator, wear: FloatArray, expected: FloatArray, noise: float, knee: float, steeper: float
) -> FloatArray:
    """Wear after some more expected wear; from the knee on, the rate is so many times steeper."""
    past = wear >= knee
    after = wear + noise * rng.gamma(np.where(past, steeper, 1.0) * expected / noise)
    if steeper == 1.0:
        return after
    over = np.flatnonzero(~past & (after >= knee))
    span = expected[over]
    at, jump = bridge_passage(rng, knee - wear[over], span, after[over] - wear[over], noise)
    rest = steeper * np.maximum(span - at, 0.0)
    after[over] = knee + jump + noise * rng.gamma(rest / noise)
    return after


def until_limit(
    rng: np.random.Generator, wear: FloatArray, noise: float, knee: float, steeper: float
) -> FloatArray:
    """Expected wear, at the rate of a new part, until the limit at 1; 0 where it is reached already."""
    if steeper == 1.0:
        return first_passage(rng, 1.0 - wear, noise)[0]
    to_knee, jump = first_passage(rng, knee - wear, noise)
    at = np.where(wear < knee, knee + jump, wear)
    return to_knee + first_passage(rng, 1.0 - at, noise)[0] / steeper
