"""How likely each part's readings are at each wear rate, and how worn it is now: one scalar Kalman step a reading.

Given the rate everything is Gaussian but for mixtures: a part of unknown age met at its first reading, a part that may have been
changed without a record, and a reading that is far off. Each mixture is matched by its mean and variance. Derivatives are carried
along exactly.

Shapes here: b sets of constants, n parts, j rates, q derivatives (log rate, each ground effect, log noise, log span spread).

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
from scipy.special import log_ndtr

from pitchline.outlook.branches import (
    HALF_LOG_2PI,
    Belief,
    Branch,
    as_read,
    capped,
    far_off,
    joined,
    somewhere,
    weighed,
)
from pitchline.outlook.constants import Constants
from pitchline.outlook.paths import FloatArray, IntArray, Paths

_TINY = 1e-30
_NEVER = -1e9
_LIMIT_U = 0.06
"""How far apart the wear limits lie at which parts are really taken off [1], one standard deviation: an assumption."""
_MOST_YOUNGER, _MOST_OVERRUN = 1.0, 3.0
"""Life used up to which a later part of unknown age may be worn [1]: the limit, or as far as anybody runs one past it."""
_ENDLESS = 1e6
"""Stands for the wear a part could have had where nothing bounds the hours since it was fitted [1]."""
NEW_START = 0.1
"""Most doubt of a start that a part fitted without a record takes over from the one before [1]: that one may have begun worn."""
AT_ONCE = 32_768
"""Figures of one kind that are worked on at once: 256 kB, of which a processor's nearer cache holds several."""
_PACE_U = 0.25
"""How far the pace of a span strays from that of the hours before it, as a share of it: an assumption."""

# What is worked on lives for moments in arrays of some 100 kB, and the GNU allocator hands such memory back to the system each
# time and fetches it anew page by page: a third of all time. Once a larger block was freed it keeps as much as twice that for
# the next arrays (mallopt(3), M_MMAP_THRESHOLD; other allocators do not mind). This one is never written to.
np.empty(16 * 2**20, np.uint8)


@dataclass(frozen=True, slots=True)
class Habits:
    """How often a yard's records leave something out or get something wrong, and how often a part is unlike its fellows.

    Parameters
    ----------
    original : float
        Chance that a part of unknown age is still the first, while that can be [1], 0 to below 1.
    past_limit : float
        Share of parts of unknown age that were run past their limit [1], 0 to below 1.
    unrecorded : float
        Chance that a part was changed without a record before a reading [1], 0 to below 1.
    far_off : float
        Share of readings that are far off [1], 0 to below 1; they show less wear than there is.
    far_times : float
        How many times their doubt such readings are off [1], above 1.
    odd_part : float
        Share of parts that wear unlike their fellows [1], 0 to below 1.
    odd_faster, odd_spread : float
        Mean and standard deviation of the log of how many times as fast as their fellows these wear [1].
    least_spread : float
        Least standard deviation of the log rate between parts, and between machines [1], 0 or more.
    """

    original: float = 0.8
    past_limit: float = 0.1
    unrecorded: float = 0.01
    far_off: float = 0.005
    far_times: float = 8.0
    odd_part: float = 0.05
    odd_faster: float = 0.4
    odd_spread: float = 0.7
    least_spread: float = 0.06


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
    log_sound : ndarray, shape (b, n, j)
        Log chance that no reading of it is far off, all other ways it may have come about weighed [1].
    changed : ndarray, shape (r, b, n, j)
        Chance that the part was changed without a record before each reading [1].
    log_before : ndarray, shape (b, n, j)
        Log likelihood of all readings but the newest [1].
    d_log_like : ndarray, shape (q, b, n, j)
        Derivatives of log_like [1]; q is zero when none were asked for.
    """

    log_like: FloatArray
    wear: FloatArray
    wear_var: FloatArray
    log_kept: FloatArray
    log_sound: FloatArray
    changed: FloatArray
    log_before: FloatArray
    d_log_like: FloatArray

    def picked(self, which: IntArray) -> "Filtered":
        """The same under other sets of constants, each part's from one that it cannot tell from its own.

        Parameters
        ----------
        which : ndarray of int, shape (c, n)
            For each of the sets to come and each part, the number of a set there is.
        """
        part = np.arange(which.shape[1])
        return replace(self, **{one.name: getattr(self, one.name)[..., which, part, :] for one in fields(self)})


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
        Log wear rates to try [log of life used per hour]; single precision makes everything single.
    constants : Constants
        b sets.
    habits : Habits
        How often records leave something out.
    derivatives : tuple of int or None
        Ground classes to differentiate by, besides log rate, log noise and log span spread; None for no derivatives.

    References
    ----------
    Kalman filter (textbook); mixtures matched by two moments: our own, see docs/explanation/outlook.md.
    """
    sets, parts, rates = rate_log.shape
    each = max(1, AT_ONCE // (parts * rates * (1 if derivatives is None else len(derivatives) + 3)))
    if each >= sets:
        return _filtered(paths, rate_log, constants, habits, derivatives)
    # Some sets after the other: what is worked on then stays in the processor's cache, which halves the time of many sets.
    some = [
        _filtered(paths, rate_log[at : at + each], constants.some(slice(at, at + each)), habits, derivatives)
        for at in range(0, sets, each)
    ]
    whole = ([getattr(one, field.name) for one in some] for field in fields(Filtered))
    return Filtered(*(np.concatenate(values, axis=-3) for values in whole))


def _filtered(
    paths: Paths,
    rate_log: FloatArray,
    constants: Constants,
    habits: Habits,
    derivatives: tuple[int, ...] | None,
) -> Filtered:
    order = np.argsort(-paths.count, kind="stable")
    back = np.argsort(order, kind="stable")
    worker = _Filter(paths, order, rate_log[:, order], constants, habits, derivatives)
    worker.run()
    return Filtered(
        worker.log_like[:, back],
        worker.state.mean[:, back],
        worker.state.var[:, back],
        worker.log_kept[:, back],
        worker.log_sound[:, back],
        worker.changed[:, :, back],
        worker.log_before[:, back],
        worker.d_log_like[:, :, back],
    )


def states_at_readings(
    paths: Paths, rate_log: FloatArray, constants: Constants, habits: Habits
) -> list[tuple[FloatArray, FloatArray]]:
    """What is known of the wear right after each reading, at each rate.

    Parameters
    ----------
    paths : Paths
        Wear paths of n parts.
    rate_log : ndarray, shape (b, n, j)
        Log wear rates [log of life used per hour].
    constants : Constants
        b sets.
    habits : Habits
        How often records leave something out.

    Returns
    -------
    list of (ndarray, ndarray), each of shape (b, n, j)
        Mean and variance of life used [1] after each reading in turn; a part with fewer readings keeps its last state.

    References
    ----------
    As `filter_paths`.
    """
    order = np.argsort(-paths.count, kind="stable")
    back = np.argsort(order, kind="stable")
    worker = _Filter(paths, order, rate_log[:, order], constants, habits, None)
    states = []
    for step in range(paths.wear.shape[1]):
        worker.step(step)
        states.append((worker.state.mean[:, back], worker.state.var[:, back]))
    return states


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
        kind, shape = rate_log.dtype, rate_log.shape
        self.count = paths.count[order]
        self.start_known = paths.start_known[order]
        self.meter_known = paths.meter_known[order]
        self.first_share = (habits.original * paths.may_be_first[order]).astype(kind)[:, None]
        self.start_u = paths.start_u[order].astype(kind)[:, None]
        self.step_h, self.tail_h = paths.step_h[order].astype(kind), paths.tail_h[order].astype(kind)
        self.reading, self.reading_u = paths.wear[order].astype(kind), paths.wear_u[order].astype(kind)
        self.less_worn = less_worn(paths)[order].astype(kind)
        self.rate = np.exp(rate_log)
        self.factor = np.exp(constants.ground).astype(kind)
        self.noise = constants.noise.astype(kind)[:, None, None]
        self.span2 = (constants.span_spread**2).astype(kind)[:, None, None]
        self.habits = habits
        self.grounds = derivatives or ()
        self.q = 0 if derivatives is None else len(derivatives) + 3
        self.log_like = np.zeros(shape, kind)
        self.log_before = np.zeros(shape, kind)
        self.log_kept = np.zeros(shape, kind)
        self.log_sound = np.zeros(shape, kind)
        self.changed = np.zeros((self.reading.shape[1] if habits.unrecorded else 0, *shape), kind)
        self.d_log_like = np.zeros((self.q, *shape), kind)
        self.state = Belief(
            np.zeros(shape, kind),
            np.broadcast_to(self.start_u**2, shape).copy(),
            np.zeros((self.q, *shape), kind),
            np.zeros((self.q, *shape), kind),
        )

    def run(self) -> None:
        for step in range(self.reading.shape[1]):
            self.step(step)
        self._carry_to_now()

    def step(self, step: int) -> None:
        """On to the next reading of every part that has one."""
        active = int(np.searchsorted(-self.count, -step, side="left"))
        if active:
            self._read(step, slice(0, active))

    def _growth(self, hours_h: FloatArray, rows: slice) -> tuple[FloatArray, FloatArray]:
        """Mean wear over hours (n, g) in all rows, and its derivatives."""
        by_ground = hours_h[None] * self.factor[:, None, :]
        rate = self.rate[:, rows]
        growth = rate * by_ground.sum(axis=2)[:, :, None]
        d_growth = np.zeros((self.q, *growth.shape), growth.dtype)
        if self.q:
            d_growth[0] = growth
            for place, ground in enumerate(self.grounds):
                np.multiply(rate, by_ground[:, :, ground, None], out=d_growth[1 + place])
        return growth, d_growth

    def _spread(self, growth: FloatArray, d_growth: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Variance that growth brings: process noise, and a span that wore faster or slower than its ground says."""
        # A gamma process's variance grows with its mean; a span on odd ground is off as a whole, by a share of itself.
        by_noise, by_span = self.noise * growth, self.span2 * growth * growth
        d_spread = (self.noise + 2.0 * self.span2 * growth) * d_growth
        if self.q:
            d_spread[-2] += by_noise
            d_spread[-1] += 2.0 * by_span
        return by_noise + by_span, d_spread

    def _read(self, step: int, rows: slice) -> None:
        y = self.reading[rows, step, None]
        s2 = self.reading_u[rows, step, None] ** 2
        growth, d_growth = self._growth(self.step_h[rows, step], rows)
        spread, d_spread = self._spread(growth, d_growth)
        state = self.state.rows(rows)
        # Given the rate, growth adds a mean and a variance to what was believed: the prediction of a Kalman filter.
        before = Belief(state.mean + growth, state.var + spread, state.d_mean + d_growth, state.d_var + d_spread)
        found, far = self._sound_or_far(before, y, s2)
        unknown = np.flatnonzero(~self.start_known[rows]) if step == 0 else np.zeros(0, np.int64)
        first = None
        if unknown.size:
            first, still = self._first_of_unknown_age(unknown, found, growth, d_growth)
            far[:, unknown] *= (
                still  # a later part's reading is its start: nothing foretold it, so it cannot be far off
            )
        if self.habits.unrecorded:
            # A part put on at an unknown hour since the last reading has worn anything up to what those hours wear, at most up to
            # its limit. Only a reading less worn than expected speaks for that, so the share goes by `less_worn`.
            spread2 = s2 + np.minimum(self.start_u[rows], NEW_START) ** 2
            changed = somewhere(y, s2, spread2, *capped(growth, d_growth, _MOST_YOUNGER))
            share = self.habits.unrecorded * self.less_worn[rows, step, None]
            changed.log = changed.log + _log_share(share)
            found, chance = joined(weighed(found, 1 - share), changed)
            if unknown.size:
                chance[:, unknown] = 0.0  # of unknown age already says that it may be a later one
            self.changed[step][:, rows] = chance
            far *= 1.0 - chance
            self.log_kept[:, rows] += np.log(np.maximum(1.0 - chance, _TINY))
        self.log_sound[:, rows] += np.log(np.maximum(1.0 - far, _TINY))
        if first is not None:
            found.log[:, unknown], found.d_log[:, :, unknown] = first.log, first.d_log
            found.belief.put(unknown, first.belief)
        # What held before the newest reading is kept: judging a change by it keeps a bad reading from making one likely.
        newest = self.count[rows] == step + 1
        self.log_before[:, rows][:, newest] = self.log_like[:, rows][:, newest]
        self.log_like[:, rows] += found.log
        self.d_log_like[:, :, rows] += found.d_log
        self.state.put(rows, found.belief)

    def _sound_or_far(self, before: Belief, y: FloatArray, s2: FloatArray) -> tuple[Branch, FloatArray]:
        """The reading is of the part as believed, and the chance that it is far off then."""
        sound = as_read(before, y, s2)
        share = self.habits.far_off
        if not share:
            return sound, np.zeros_like(sound.log)
        far = far_off(before, y, s2, self.habits.far_times)
        return joined(weighed(sound, 1 - share), weighed(far, share))

    def _first_of_unknown_age(
        self,
        at: np.ndarray[tuple[int], np.dtype[np.int64]],
        found: Branch,
        growth: FloatArray,
        d_growth: FloatArray,
    ) -> tuple[Branch, FloatArray]:
        """The first part still, or a later one somewhere between new and the limit, some of them past it; chance of the first."""
        # Two stories of its first reading y. It is the first part, worn by all hours of the meter, g: its weight is p S(g), where
        # p is the prior share and S(g) the chance that such wear had not yet been the end of it. Or a later one, put on at any
        # hour, so anywhere from new to min(g, 1), a share of them run past the limit: weight 1 - p S(g). Both weights move with
        # the rate through g, and so do their derivatives.
        y, s2 = self.reading[at, 0, None], self.reading_u[at, 0, None] ** 2
        spread2 = s2 + self.start_u[at] ** 2
        grown, d_grown = growth[:, at], d_growth[:, :, at]
        later = somewhere(y, s2, spread2, *capped(grown, d_grown, _MOST_YOUNGER))
        if self.habits.past_limit:
            share = self.habits.past_limit
            beyond = somewhere(y, s2, spread2, *capped(grown, d_grown, _MOST_OVERRUN))
            later, _ = joined(weighed(later, 1 - share), weighed(beyond, share))
        log_q, log_rest, d_log_q, d_log_rest = self._still_original(grown, d_grown, self.first_share[at])
        original = found.rows(at)
        original.log, original.d_log = original.log + log_q, original.d_log + d_log_q
        later.log, later.d_log = later.log + log_rest, later.d_log + d_log_rest
        both, is_later = joined(original, later)
        # Where the hours of the part are not known either, a first reading says nothing of the rate: it is only where to begin.
        blind = ~self.meter_known[at]
        if blind.any():
            both.log[:, blind], both.d_log[:, :, blind] = 0.0, 0.0
            both.belief.mean[:, blind], both.belief.var[:, blind] = y[blind], s2[blind]
            both.belief.d_mean[:, :, blind] = both.belief.d_var[:, :, blind] = 0.0
            is_later[:, blind] = 1.0
        return both, 1.0 - is_later

    def _still_original(
        self, grown: FloatArray, d_grown: FloatArray, first_share: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Log chance of being the first part, and of not being, with derivatives: it fades as wear passes the limit."""
        # S(g) = Phi((1 - g) / s): the normal chance of not having passed the limit, spread by the wear's own noise and by how
        # unalike limits are kept. Logs throughout: far past the limit S underflows, and its slope with it.
        spread2 = self.noise * grown + _LIMIT_U**2
        z = (1 - grown) / np.sqrt(spread2)
        log_share = log_ndtr(z)
        log_q = _log_share(first_share) + log_share
        q = np.exp(log_q)
        d_spread2 = self.noise * d_grown
        if self.q:
            d_spread2[-2] += self.noise * grown
        d_z = -d_grown / np.sqrt(spread2) - 0.5 * z / spread2 * d_spread2
        slope = np.exp(-0.5 * z**2 - HALF_LOG_2PI - log_share)  # d log Phi / dz = phi / Phi, by logs
        d_log_q = slope * d_z
        return log_q, np.log1p(-q), d_log_q, -q / (1 - q) * d_log_q

    def _carry_to_now(self) -> None:
        growth, d_growth = self._growth(self.tail_h, slice(None))
        spread, _ = self._spread(growth, d_growth)
        self.state.mean = self.state.mean + growth
        self.state.var = self.state.var + spread
        unread = np.flatnonzero((self.count == 0) & ~self.start_known)
        if unread.size:
            self._unread_of_unknown_age(unread, growth[:, unread])

    def _unread_of_unknown_age(self, at: np.ndarray[tuple[int], np.dtype[np.int64]], grown: FloatArray) -> None:
        """Neither read nor known when fitted: the first part, or anywhere between new and the limit."""
        grown = np.where(self.meter_known[at, None], grown, _ENDLESS).astype(grown.dtype)
        q = np.exp(
            self._still_original(grown, np.zeros((self.q, *grown.shape), grown.dtype), self.first_share[at])[0]
        )
        widest = np.minimum(grown, 1.0)
        var_first = self.start_u[at] ** 2 + self.noise * grown
        mean_first = np.where(q > 0, grown, 0.0)
        mean = q * mean_first + (1 - q) * widest / 2
        # Mean and mean square of the two stories together; a uniform one has w/2 and w^2/3.
        second = q * (np.where(q > 0, var_first, 0.0) + mean_first**2) + (1 - q) * widest**2 / 3
        self.state.mean[:, at], self.state.var[:, at] = mean, second - mean**2


def _log_share(share: FloatArray) -> FloatArray:
    """Log of a prior share; where it is none, so little that no reading, however unlikely otherwise, brings it back."""
    return np.asarray(np.where(share > 0, np.log(np.maximum(share, _TINY)), _NEVER).astype(share.dtype))


def less_worn(paths: Paths) -> FloatArray:
    """How far each reading lies below what its part's pace so far makes of the reading before it.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each.

    Returns
    -------
    ndarray, shape (n, r)
        From 1 below that or at it down to 0 at two standard deviations above it [1]. A first reading has nothing to be
        held against: 1. Where nothing bounds the hours since fitting there is no pace, and the reading before stands as it is.

    References
    ----------
    Our own rule, see docs/explanation/outlook.md: a part is changed for one less worn, so a reading that shows more wear than
    expected is never put down to a change nobody recorded.
    """
    hours_h = paths.step_h.sum(axis=2)
    before_h = np.maximum(np.cumsum(hours_h, axis=1)[:, :-1], 1.0)
    pace_known = (paths.start_known | paths.meter_known)[:, None]
    times = np.where(pace_known, 1.0 + hours_h[:, 1:] / before_h, 1.0)
    last = np.maximum(paths.wear[:, :-1], 0.0)
    spread2 = (
        paths.wear_u[:, 1:] ** 2 + (times * paths.wear_u[:, :-1]) ** 2 + (_PACE_U * (times - 1.0) * last) ** 2
    )
    found = np.ones(paths.wear.shape)
    found[:, 1:] = np.clip(1.0 - (paths.wear[:, 1:] - times * last) / (2.0 * np.sqrt(spread2)), 0.0, 1.0)
    return found
