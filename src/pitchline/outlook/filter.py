"""How likely each part's readings are at each wear rate, and how worn it is now: one scalar Kalman step a reading.

Given the rate everything is Gaussian but for two mixtures: a part of unknown age met at its first reading, and a part that may
have been changed without a record. Each mixture is matched by its mean and variance. Derivatives are carried along exactly.

Shapes here: b sets of constants, n parts, j rates, q derivatives (log rate, each ground effect, log noise).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, ndtr

from pitchline.outlook.constants import Constants
from pitchline.outlook.paths import FloatArray, Paths

LOG_2PI = float(np.log(2 * np.pi))
_TINY = 1e-290


@dataclass(frozen=True, slots=True)
class Habits:
    """How often a yard's records leave something out.

    Parameters
    ----------
    original : float
        Chance that a part of unknown age is still the first, while that can be [1], 0 to below 1.
    past_limit : float
        Share of parts of unknown age that were run past their limit [1], 0 to below 1.
    unrecorded : float
        Chance that a part was changed without a record between two readings [1], 0 to below 1.

    References
    ----------
    Our own assumptions; see docs/explanation/outlook.md.
    """

    original: float = 0.8
    past_limit: float = 0.1
    unrecorded: float = 0.01


@dataclass(frozen=True, slots=True)
class Filtered:
    """Likelihood and present state of n parts at j rates under b sets of constants.

    Parameters
    ----------
    log_like : ndarray, shape (b, n, j)
        Log likelihood of the readings [1].
    wear, wear_var : ndarray, shape (b, n, j)
        Mean and variance of the life used now [1].
    log_kept : ndarray, shape (b, n, j)
        Log chance that the part was never changed without a record [1].
    d_log_like : ndarray, shape (q, b, n, j)
        Derivatives of log_like [1]; q is zero when none were asked for.

    References
    ----------
    Definition.
    """

    log_like: FloatArray
    wear: FloatArray
    wear_var: FloatArray
    log_kept: FloatArray
    d_log_like: FloatArray


@dataclass(slots=True)
class _Belief:
    """A normal belief of the wear, with derivatives."""

    mean: FloatArray
    var: FloatArray
    d_mean: FloatArray
    d_var: FloatArray


@dataclass(slots=True)
class _Branch:
    """One way a reading may have come about: its log weight, and the belief after it."""

    log: FloatArray
    d_log: FloatArray
    belief: _Belief


def filter_paths(
    paths: Paths,
    rate_log: FloatArray,
    constants: Constants,
    habits: Habits,
    derivatives: tuple[int, ...] | None = None,
) -> Filtered:
    """Likelihood of all readings and wear now, at each rate.

    Parameters
    ----------
    paths : Paths
        Wear paths of n parts.
    rate_log : ndarray, shape (b, n, j)
        Log wear rates to try [log of life used per hour].
    constants : Constants
        b sets.
    habits : Habits
        How often records leave something out.
    derivatives : tuple of int or None
        Ground classes to differentiate by, besides log rate and log noise; None for no derivatives.

    Returns
    -------
    Filtered
        Everything at the present hours.

    References
    ----------
    Kalman filter (textbook); mixtures matched by two moments: our own, see docs/explanation/outlook.md.
    """
    order = np.argsort(-paths.count, kind="stable")
    back = np.argsort(order, kind="stable")
    worker = _Filter(paths, order, rate_log[:, order], constants, habits, derivatives)
    worker.run()
    return Filtered(
        worker.log_like[:, back],
        worker.state.mean[:, back],
        worker.state.var[:, back],
        worker.log_kept[:, back],
        worker.d_log_like[:, :, back],
    )


class _Filter:
    """The work of filter_paths, parts sorted by falling number of readings so that the active ones come first."""

    def __init__(
        self,
        paths: Paths,
        order: np.ndarray[tuple[int], np.dtype[np.int64]],
        rate_log: FloatArray,
        constants: Constants,
        habits: Habits,
        derivatives: tuple[int, ...] | None,
    ) -> None:
        self.count = paths.count[order]
        self.start_known = paths.start_known[order]
        self.meter_known = paths.meter_known[order]
        self.start_u = paths.start_u[order][:, None]
        self.step_h, self.tail_h = paths.step_h[order], paths.tail_h[order]
        self.reading, self.reading_u = paths.wear[order], paths.wear_u[order]
        self.rate = np.exp(rate_log)
        self.factor = np.exp(constants.ground)
        self.noise = constants.noise[:, None, None]
        self.habits = habits
        self.grounds = derivatives or ()
        self.q = 0 if derivatives is None else len(derivatives) + 2
        self.log_like = np.zeros(rate_log.shape)
        self.log_kept = np.zeros(rate_log.shape)
        self.d_log_like = np.zeros((self.q, *rate_log.shape))
        self.state = _Belief(
            np.zeros(rate_log.shape),
            np.broadcast_to(self.start_u**2, rate_log.shape).copy(),
            np.zeros((self.q, *rate_log.shape)),
            np.zeros((self.q, *rate_log.shape)),
        )

    def run(self) -> None:
        for step in range(self.reading.shape[1]):
            active = int(np.searchsorted(-self.count, -step, side="left"))
            if active:
                self._read(step, active)
        self._carry_to_now()

    def _growth(self, hours_h: FloatArray, rows: slice) -> tuple[FloatArray, FloatArray]:
        """Mean wear over hours (n, g) in all rows, and its derivatives."""
        by_ground = hours_h[None] * self.factor[:, None, :]
        rate = self.rate[:, rows]
        growth = rate * by_ground.sum(axis=2)[:, :, None]
        d_growth = np.zeros((self.q, *growth.shape))
        if self.q:
            d_growth[0] = growth
            for place, ground in enumerate(self.grounds):
                d_growth[1 + place] = rate * by_ground[:, :, ground, None]
        return growth, d_growth

    def _predicted(self, rows: slice, growth: FloatArray, d_growth: FloatArray) -> _Belief:
        spread = self.noise * growth
        d_spread = self.noise * d_growth
        if self.q:
            d_spread[-1] += spread
        return _Belief(
            self.state.mean[:, rows] + growth,
            self.state.var[:, rows] + spread,
            self.state.d_mean[:, :, rows] + d_growth,
            self.state.d_var[:, :, rows] + d_spread,
        )

    def _read(self, step: int, active: int) -> None:
        rows = slice(0, active)
        y = self.reading[rows, step, None]
        s2 = self.reading_u[rows, step, None] ** 2
        growth, d_growth = self._growth(self.step_h[rows, step], rows)
        plain = _kalman(self._predicted(rows, growth, d_growth), y, s2)
        if step:
            spread2 = s2 + self.start_u[rows] ** 2
            changed = _somewhere(y, s2, spread2, *_capped(growth, d_growth, 1.0))
            self._store(rows, *_mixed(plain, changed, self.habits.unrecorded))
            return
        self._store(rows, plain.log, plain.d_log, plain.belief, None)
        unknown = np.flatnonzero(~self.start_known[rows])
        if unknown.size:
            self._first_of_unknown_age(unknown, plain, growth, d_growth)

    def _first_of_unknown_age(
        self,
        at: np.ndarray[tuple[int], np.dtype[np.int64]],
        plain: _Branch,
        growth: FloatArray,
        d_growth: FloatArray,
    ) -> None:
        y, s2 = self.reading[at, 0, None], self.reading_u[at, 0, None] ** 2
        spread2 = s2 + self.start_u[at] ** 2
        grown, d_grown = growth[:, at], d_growth[:, :, at]
        later = _later_part(y, s2, spread2, grown, d_grown, self.habits.past_limit)
        original = _Branch(
            plain.log[:, at],
            plain.d_log[:, :, at],
            _Belief(
                plain.belief.mean[:, at],
                plain.belief.var[:, at],
                plain.belief.d_mean[:, :, at],
                plain.belief.d_var[:, :, at],
            ),
        )
        log_q, log_rest, d_log_q, d_log_rest = self._still_original(grown, d_grown)
        original.log, original.d_log = original.log + log_q, original.d_log + d_log_q
        later.log, later.d_log = later.log + log_rest, later.d_log + d_log_rest
        log, d_log, belief, _ = _joined(original, later)
        blind = ~self.meter_known[at]
        if blind.any():
            log[:, blind], d_log[:, :, blind] = 0.0, 0.0
            belief.mean[:, blind], belief.var[:, blind] = y[blind], s2[blind]
            belief.d_mean[:, :, blind] = belief.d_var[:, :, blind] = 0.0
        self.log_like[:, at], self.d_log_like[:, :, at] = log, d_log
        self.state.mean[:, at], self.state.var[:, at] = belief.mean, belief.var
        self.state.d_mean[:, :, at], self.state.d_var[:, :, at] = belief.d_mean, belief.d_var

    def _still_original(
        self, grown: FloatArray, d_grown: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Log chance of being the first part, and of not being, with derivatives: it fades as wear passes the limit."""
        spread2 = self.noise * grown + 0.06**2
        z = (1 - grown) / np.sqrt(spread2)
        log_share = log_ndtr(z)
        log_q = np.log(max(self.habits.original, _TINY)) + log_share
        q = np.exp(log_q)
        d_spread2 = self.noise * d_grown
        if self.q:
            d_spread2[-1] += self.noise * grown
        d_z = -d_grown / np.sqrt(spread2) - 0.5 * z / spread2 * d_spread2
        slope = np.exp(-0.5 * (z**2 + LOG_2PI) - log_share)
        d_log_q = slope * d_z
        return log_q, np.log1p(-q), d_log_q, -q / (1 - q) * d_log_q

    def _store(
        self, rows: slice, log: FloatArray, d_log: FloatArray, belief: _Belief, changed: FloatArray | None
    ) -> None:
        self.log_like[:, rows] += log
        self.d_log_like[:, :, rows] += d_log
        self.state.mean[:, rows], self.state.var[:, rows] = belief.mean, belief.var
        self.state.d_mean[:, :, rows], self.state.d_var[:, :, rows] = belief.d_mean, belief.d_var
        if changed is not None:
            self.log_kept[:, rows] += np.log1p(-np.minimum(changed, 1 - 1e-15))

    def _carry_to_now(self) -> None:
        everything = slice(None)
        growth, _ = self._growth(self.tail_h, everything)
        self.state.mean = self.state.mean + growth
        self.state.var = self.state.var + self.noise * growth
        unread = np.flatnonzero((self.count == 0) & ~self.start_known)
        if unread.size:
            self._unread_of_unknown_age(unread, growth[:, unread])

    def _unread_of_unknown_age(self, at: np.ndarray[tuple[int], np.dtype[np.int64]], grown: FloatArray) -> None:
        """Neither read nor known when fitted: the first part, or anywhere between new and the limit."""
        grown = np.where(self.meter_known[at, None], grown, 1e9)
        q = np.exp(self._still_original(grown, np.zeros((self.q, *grown.shape)))[0])
        widest = np.minimum(grown, 1.0)
        var_first = self.start_u[at] ** 2 + self.noise * grown
        mean_first = np.where(q > 0, grown, 0.0)
        mean = q * mean_first + (1 - q) * widest / 2
        second = q * (np.where(q > 0, var_first, 0.0) + mean_first**2) + (1 - q) * widest**2 / 3
        self.state.mean[:, at], self.state.var[:, at] = mean, second - mean**2


def _kalman(before: _Belief, y: FloatArray, s2: FloatArray) -> _Branch:
    total = before.var + s2
    miss = y - before.mean
    log = -0.5 * (np.log(total) + LOG_2PI + miss**2 / total)
    d_log = (miss / total) * before.d_mean + 0.5 * (miss**2 / total - 1) / total * before.d_var
    rest = s2 / total
    after = _Belief(
        before.mean + (1 - rest) * miss,
        before.var * rest,
        rest * before.d_mean + miss * rest / total * before.d_var,
        rest**2 * before.d_var,
    )
    return _Branch(log, d_log, after)


def _capped(growth: FloatArray, d_growth: FloatArray, most: float) -> tuple[FloatArray, FloatArray]:
    """Growth up to a cap, kept away from zero width, and its derivatives."""
    width = np.clip(growth, 1e-6, most)
    return width, np.where((growth > 1e-6) & (growth < most), d_growth, 0.0)


def _somewhere(
    y: FloatArray, s2: FloatArray, spread2: FloatArray, width: FloatArray, d_width: FloatArray
) -> _Branch:
    """A part whose wear is somewhere between 0 and a width, each value as likely as the other."""
    spread = np.sqrt(spread2)
    low, high = -y / spread, (width - y) / spread
    mirrored = low > 0
    share = np.where(mirrored, ndtr(-low) - ndtr(-high), ndtr(high) - ndtr(low))
    share = np.maximum(share, _TINY)
    density_low = np.exp(-0.5 * (low**2 + LOG_2PI))
    density_high = np.exp(-0.5 * (high**2 + LOG_2PI))
    pull = (density_low - density_high) / share
    inside = np.clip(y + spread * pull, 0.0, width)
    inside_var = np.clip(
        spread2 * (1 + (low * density_low - high * density_high) / share - pull**2), 0.0, width**2 / 4
    )
    edge = np.minimum(density_high / (spread * share), 1e12)
    d_inside = (width - inside) * edge * d_width
    d_inside_var = ((width - inside) ** 2 - inside_var) * edge * d_width
    weight = s2 / spread2
    belief = _Belief(
        weight * inside + (1 - weight) * y,
        weight**2 * inside_var + (1 - weight) * s2,
        weight * d_inside,
        weight**2 * d_inside_var,
    )
    return _Branch(np.log(share) - np.log(width), (edge - 1 / width) * d_width, belief)


def _later_part(
    y: FloatArray, s2: FloatArray, spread2: FloatArray, grown: FloatArray, d_grown: FloatArray, past_limit: float
) -> _Branch:
    """A part that is not the first: in a chain of changes at the limit, some of them run past it."""
    usual = _somewhere(y, s2, spread2, *_capped(grown, d_grown, 1.0))
    if not past_limit:
        return usual
    beyond = _somewhere(y, s2, spread2, *_capped(grown, d_grown, 3.0))
    usual.log = usual.log + np.log1p(-past_limit)
    beyond.log = beyond.log + np.log(past_limit)
    return _Branch(*_joined(usual, beyond)[:3])


def _mixed(
    plain: _Branch, other: _Branch, share: float
) -> tuple[FloatArray, FloatArray, _Belief, FloatArray | None]:
    if not share:
        return plain.log, plain.d_log, plain.belief, None
    plain.log = plain.log + np.log1p(-share)
    other.log = other.log + np.log(share)
    return _joined(plain, other)


def _joined(first: _Branch, second: _Branch) -> tuple[FloatArray, FloatArray, _Belief, FloatArray]:
    """Two branches as one normal belief with the same mean and variance; last the chance of the second."""
    log = np.logaddexp(first.log, second.log)
    c = np.exp(second.log - log)
    rest = 1 - c
    d_log = rest * first.d_log + c * second.d_log
    d_c = c * rest * (second.d_log - first.d_log)
    a, b = first.belief, second.belief
    gap = b.mean - a.mean
    d_gap = b.d_mean - a.d_mean
    belief = _Belief(
        rest * a.mean + c * b.mean,
        rest * a.var + c * b.var + c * rest * gap**2,
        rest * a.d_mean + c * b.d_mean + d_c * gap,
        rest * a.d_var
        + c * b.d_var
        + d_c * (b.var - a.var)
        + (1 - 2 * c) * d_c * gap**2
        + 2 * c * rest * gap * d_gap,
    )
    return log, d_log, belief, c
