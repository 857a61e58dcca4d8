"""Ways a reading may have come about, each with its log weight and the belief of the wear after it.

Shapes: b sets of constants, n parts, j rates, q derivatives. Functions here return new arrays and keep the precision given.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import FloatArray

HALF_LOG_2PI = 0.9189385332046727
_ROOT_2PI = 2.5066282746310002
_LOG_2 = 0.6931471805599453
_LEAST_SHARE = 1e-12
"""Least chance inside the width: the approximation of the distribution function is good to 3e-8, and a log needs more than 0."""
_FAR_BEYOND = 4.5
"""Standard deviations beyond the width from which the tail is taken by its continued fraction: a floor would be a heavy tail."""
_LEAST_WIDTH = 1e-6
"""Least width [1]: no growth at all would make a density without end."""
_STEEPEST = 1e6
"""Most of a derivative at an edge [1]: further off both edges the weight is nothing, and the product must stay a number."""


@dataclass(slots=True)
class Belief:
    """A normal belief of the wear, with derivatives.

    Parameters
    ----------
    mean, var : ndarray, shape (b, n, j)
        Mean and variance of life used [1].
    d_mean, d_var : ndarray, shape (q, b, n, j)
        Their derivatives [1].
    """

    mean: FloatArray
    var: FloatArray
    d_mean: FloatArray
    d_var: FloatArray

    def rows(self, at: slice | np.ndarray[tuple[int], np.dtype[np.int64]]) -> "Belief":
        """The same for some of the parts.

        Parameters
        ----------
        at : slice or ndarray, shape (k,)
            Rows.

        Returns
        -------
        Belief
            In that order.
        """
        return Belief(self.mean[:, at], self.var[:, at], self.d_mean[:, :, at], self.d_var[:, :, at])

    def put(self, at: slice | np.ndarray[tuple[int], np.dtype[np.int64]], other: "Belief") -> None:
        """Take over another belief for some of the parts.

        Parameters
        ----------
        at : slice or ndarray, shape (k,)
            Rows.
        other : Belief
            Of those rows.
        """
        self.mean[:, at], self.var[:, at] = other.mean, other.var
        self.d_mean[:, :, at], self.d_var[:, :, at] = other.d_mean, other.d_var


@dataclass(slots=True)
class Branch:
    """One way a reading may have come about.

    Parameters
    ----------
    log : ndarray, shape (b, n, j)
        Log weight [1].
    d_log : ndarray, shape (q, b, n, j)
        Its derivatives [1].
    belief : Belief
        The wear after it.
    """

    log: FloatArray
    d_log: FloatArray
    belief: Belief

    def rows(self, at: np.ndarray[tuple[int], np.dtype[np.int64]]) -> "Branch":
        """The same for some of the parts.

        Parameters
        ----------
        at : ndarray, shape (k,)
            Rows.

        Returns
        -------
        Branch
            In that order.
        """
        return Branch(self.log[:, at], self.d_log[:, :, at], self.belief.rows(at))


def as_read(before: Belief, y: FloatArray, s2: FloatArray) -> Branch:
    """The reading is of the part as believed: one scalar Kalman step.

    Parameters
    ----------
    before : Belief
        The wear before it.
    y, s2 : ndarray, shape (n, 1)
        Reading and its variance [1].

    Returns
    -------
    Branch
        Weight and belief after it.

    References
    ----------
    Kalman filter (textbook).
    """
    # Innovation y - m with variance P + R; K = P / (P + R), and the variance after it (1 - K) P = P R / (P + R).
    inverse = 1.0 / (before.var + s2)
    miss = y - before.mean
    pull = miss * inverse
    log = 0.5 * (np.log(inverse) - miss * pull) - HALF_LOG_2PI
    rest = s2 * inverse
    d_log = pull * before.d_mean + (0.5 * (pull * pull - inverse)) * before.d_var
    after = Belief(
        before.mean + before.var * pull,
        before.var * rest,
        rest * (before.d_mean + pull * before.d_var),
        (rest * rest) * before.d_var,
    )
    return Branch(log, d_log, after)


def far_off(before: Belief, y: FloatArray, s2: FloatArray, times: float) -> Branch:
    """The reading is of the part as believed, but far off: dirt, paint or a tool that is not home show more metal than there is.

    Parameters
    ----------
    before : Belief
        The wear before it.
    y, s2 : ndarray, shape (n, 1)
        Reading and the variance it claims [1].
    times : float
        How many times its doubt it is off [1], above 1.

    Returns
    -------
    Branch
        Weight and belief after it. The weight is that of a skew normal that hardly reaches above the part as believed: a reading
        that shows more wear than expected is never put down to the reading. The belief is that of a reading so many times as
        doubtful.

    References
    ----------
    Azzalini, Scand. J. Stat. 12 (1985) 171 (from memory): a normal density times twice a normal distribution function
    integrates to 1.
    """
    branch = as_read(before, y, s2 * times**2)
    inverse = 1.0 / (before.var + s2)
    z = (y - before.mean) * np.sqrt(inverse)
    side = log_ndtr(-z)
    log = branch.log + side + _LOG_2
    if not branch.d_log.size:
        return Branch(log, branch.d_log, branch.belief)
    d_z = -np.sqrt(inverse) * before.d_mean - (0.5 * z * inverse) * before.d_var
    d_log = branch.d_log - np.exp(-0.5 * z * z - HALF_LOG_2PI - side) * d_z
    return Branch(log, d_log, branch.belief)


def far_off_moments(var: FloatArray, s2: FloatArray, times: float) -> tuple[FloatArray, FloatArray]:
    """What a reading still to come will show if it is far off: the skew normal of `far_off`, told ahead.

    Parameters
    ----------
    var, s2 : ndarray, shape (n, k) and (n, 1)
        Variance of the wear by then, and the variance the reading will claim [1].
    times : float
        How many times its doubt it is off [1], above 1.

    Returns
    -------
    tuple of ndarray, shape (n, k)
        How much less wear than there is it shows, and its variance [1].

    References
    ----------
    Azzalini, Scand. J. Stat. 12 (1985) 171 (from memory): mean and variance of the skew normal.
    """
    wide = var + times**2 * s2
    less = np.sqrt(2 / np.pi) * wide / np.sqrt(wide + var + s2)
    return less, wide - less**2


def somewhere(
    y: FloatArray, s2: FloatArray, spread2: FloatArray, width: FloatArray, d_width: FloatArray
) -> Branch:
    """The reading is of a part whose wear is anywhere between nothing and a width, each value as likely as the other.

    Parameters
    ----------
    y, s2 : ndarray, shape (n, 1)
        Reading and its variance [1].
    spread2 : ndarray, shape (n, 1)
        Variance of the reading and the new size together [1].
    width : ndarray, shape (b, n, j)
        Width [1], above zero.
    d_width : ndarray, shape (q, b, n, j)
        Its derivatives [1].

    Returns
    -------
    Branch
        Weight and belief after it, by the moments of a truncated normal.

    References
    ----------
    Truncated normal (textbook).
    """
    # True wear uniform on (0, w), read with a normal doubt s: the weight is (Phi(b) - Phi(a)) / w with a = -y/s,
    # b = (w - y)/s, and the wear after it a normal cut off at both ends. `pull` is how far its mean lies from y, in s.
    spread = np.sqrt(spread2)
    low = -y / spread
    density_low = np.exp(-0.5 * low * low) / _ROOT_2PI
    high = low + width / spread
    share = np.maximum(normal_cdf(high) - normal_cdf(low), _LEAST_SHARE)
    density_high = np.exp(-0.5 * high * high) / _ROOT_2PI
    inverse = 1.0 / share
    # Read far beyond the width, both distribution functions are next to nothing and their difference is noise. Phi(b) alone is
    # left, and phi(b) / Phi(b) by the first terms of its continued fraction (Abramowitz and Stegun 26.2.14, from memory).
    beyond = np.maximum(-high, _FAR_BEYOND)
    far, hazard = high < -_FAR_BEYOND, beyond + 1.0 / (beyond + 2.0 / (beyond + 3.0 / beyond))
    edge = np.where(far, hazard, density_high * inverse)
    pull = density_low * inverse - edge
    inside = np.clip(y + spread * pull, 0.0, width)
    inside_var = spread2 * (1.0 + low * density_low * inverse - high * edge - pull * pull)
    inside_var = np.clip(inside_var, 0.0, 0.25 * width * width)
    # The filter follows wear as read, an error of the new size in it: of the way from y only the reading's own share is gone.
    weight = s2 / spread2
    log = np.where(far, -0.5 * beyond * beyond - HALF_LOG_2PI - np.log(hazard), np.log(share)) - np.log(width)
    if not d_width.size:
        return Branch(
            log,
            d_width,
            Belief(weight * inside + (1 - weight) * y, _var(weight, inside_var, s2), d_width, d_width),
        )
    # Only the upper edge moves with the rate: d log share / dw is the density there over the share, less 1/w for the height.
    edge = np.minimum(edge / spread, _STEEPEST)
    room = width - inside
    d_inside = (room * edge) * d_width
    d_inside_var = ((room * room - inside_var) * edge) * d_width
    belief = Belief(
        weight * inside + (1 - weight) * y,
        _var(weight, inside_var, s2),
        weight * d_inside,
        weight**2 * d_inside_var,
    )
    return Branch(log, (edge - 1.0 / width) * d_width, belief)


def _var(weight: FloatArray, inside_var: FloatArray, s2: FloatArray) -> FloatArray:
    return weight * weight * inside_var + (1 - weight) * s2


def capped(growth: FloatArray, d_growth: FloatArray, most: float) -> tuple[FloatArray, FloatArray]:
    """Growth up to a cap, kept away from nothing, and its derivatives.

    Parameters
    ----------
    growth : ndarray, shape (b, n, j)
        Wear [1], zero or more.
    d_growth : ndarray, shape (q, b, n, j)
        Its derivatives [1].
    most : float
        The cap [1].

    Returns
    -------
    width : ndarray, shape (b, n, j)
        Within the cap [1].
    d_width : ndarray, shape (q, b, n, j)
        Its derivatives [1], zero at the cap.
    """
    width = np.clip(growth, _LEAST_WIDTH, most)
    if not d_growth.size:
        return width, d_growth
    return width, np.where((growth > _LEAST_WIDTH) & (growth < most), d_growth, 0.0)


def weighed(branch: Branch, share: float | FloatArray) -> Branch:
    """A branch with its prior share.

    Parameters
    ----------
    branch : Branch
        The branch.
    share : float, or ndarray of shape (n, 1)
        Its share [1], above zero.

    Returns
    -------
    Branch
        With the log of the share added.
    """
    return Branch(branch.log + np.log(share, dtype=branch.log.dtype), branch.d_log, branch.belief)


def joined(first: Branch, second: Branch) -> tuple[Branch, FloatArray]:
    """Two branches as one normal belief with the same mean and variance.

    Parameters
    ----------
    first, second : Branch
        With their prior shares.

    Returns
    -------
    both : Branch
        The mixture.
    chance : ndarray, shape (b, n, j)
        Chance of the second [1].

    References
    ----------
    Matching of two moments (textbook).
    """
    # Shares by the difference of the logs, so that neither underflows; what is left over is computed as 1 less the other.
    apart = second.log - first.log
    less = np.exp(-np.abs(apart))
    share = 1.0 / (1.0 + less)
    log = np.maximum(first.log, second.log) - np.log(share)
    chance = np.where(apart > 0, share, less * share)
    rest = 1.0 - chance
    a, b = first.belief, second.belief
    # Mean and variance of a mixture of two: the variance of both, and of their means about the common one, p (1 - p) gap^2.
    gap = b.mean - a.mean
    both = chance * rest
    mean = a.mean + chance * gap
    var = a.var + chance * (b.var - a.var) + both * gap * gap
    if not first.d_log.size:
        return Branch(log, first.d_log, Belief(mean, var, first.d_log, first.d_log)), chance
    # The chance itself moves with the logs: dp = p (1 - p) (d log b - d log a).
    d_log = first.d_log + chance * (second.d_log - first.d_log)
    d_chance = both * (second.d_log - first.d_log)
    d_gap = b.d_mean - a.d_mean
    d_mean = a.d_mean + chance * d_gap + d_chance * gap
    d_var = a.d_var + chance * (b.d_var - a.d_var)
    d_var += d_chance * (b.var - a.var + (rest - chance) * gap * gap)
    d_var += (2.0 * both * gap) * d_gap
    return Branch(log, d_log, Belief(mean, var, d_mean, d_var)), chance
