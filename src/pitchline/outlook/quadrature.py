"""Nested quadrature: the parts of a machine share its effect, and each has its own.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.constants import Constants
from pitchline.outlook.filter import Filtered, Habits, filter_paths
from pitchline.outlook.grid import Grid, grid_for, log_normal
from pitchline.outlook.kind_pace import KindPace, kind_pace
from pitchline.outlook.paths import FloatArray, IntArray, Paths

_TINY = 1e-30
"""Least likelihood given a machine effect, so that a part whose readings no rate on the grid explains has a log, too."""
_NOTHING = 1e-300
"""The same of a weight before any reading."""


@dataclass(frozen=True, slots=True)
class Beliefs:
    """What is believed of rates and present wear under b sets of constants, on the grid.

    Parameters
    ----------
    paths : Paths
        The parts.
    constants : Constants
        The sets.
    habits : Habits
        How often records leave something out.
    grid : Grid
        The grid.
    filtered : Filtered
        Likelihoods and states at each rate of the grid.
    rate_log : ndarray, shape (b, n, j)
        The rates of the grid [log of life used per hour].
    log_marginal : ndarray, shape (b,)
        Log probability of all readings [1].
    machine : ndarray, shape (b, m, j)
        Posterior weight of each machine effect on the grid [1], summing to 1.
    usual : ndarray, shape (b, j, j)
        Prior weight of a part's rate given what it shares with its fellows, as of a part like them [1].
    kernel : ndarray, shape (b, j, j)
        The same of any part: like its fellows or not [1].
    common : ndarray, shape (b, c, j)
        Posterior weight of what parts share, on the grid [1], summing to 1: the pace of their kind on their machine; the machine
        effect itself where the constants have the pace of each kind.
    common_of : ndarray of int, shape (n,)
        Which of the c each part shares.
    scaled : ndarray, shape (b, n, j)
        Likelihood of each part, its largest value 1 [1].
    given_common : ndarray, shape (b, n, j)
        Each part's likelihood given what it shares [1], in the same scale.
    weight : ndarray, shape (b, n, j)
        Posterior weight of each part's rate on the grid [1], summing to 1.
    kinds : KindPace or None
        What the kinds say of the machine effects; None where the constants have the pace of each kind.
    """

    paths: Paths
    constants: Constants
    habits: Habits
    grid: Grid
    filtered: Filtered
    rate_log: FloatArray
    log_marginal: FloatArray
    machine: FloatArray
    usual: FloatArray
    kernel: FloatArray
    common: FloatArray
    common_of: IntArray
    scaled: FloatArray
    given_common: FloatArray
    weight: FloatArray
    kinds: KindPace | None

    def in_full(self) -> "Beliefs":
        """The same with every reading counted in full, those that look copied too.

        A figure written for many places says little of what they share. Still, they are what a part is unlike, and that all of
        them were changed is not taken for a fact because two others were read far worse.
        """
        if self.paths.share is None:
            return self
        return believed(self.filtered, replace(self.paths, share=None), self.constants, self.habits, self.grid)

    def new_part_weight(self, part: int) -> FloatArray:
        """Posterior weight of the rate of a new part of the same kind on the same machine.

        Parameters
        ----------
        part : int
            Number of a part of that machine.

        Returns
        -------
        ndarray, shape (b, j)
            On the same grid of rates as the part [1], summing to 1.
        """
        weight = np.einsum("bju,bu->bj", self.kernel, self.common[:, self.common_of[part]])
        return np.asarray(weight / weight.sum(axis=1, keepdims=True))

    def chance_odd(self) -> FloatArray:
        """Chance of each part to wear unlike its fellows.

        Returns
        -------
        ndarray, shape (n,)
            Chances [1].

        References
        ----------
        Bayes' theorem (textbook).
        """
        without = self.common[:, self.common_of] / self.given_common
        like = (self.scaled * (without @ self.usual.transpose(0, 2, 1))).sum(axis=2)
        whole = (self.scaled * (without @ self.kernel.transpose(0, 2, 1))).sum(axis=2)
        return np.asarray(np.clip(1.0 - (like / whole).mean(axis=0), 0.0, 1.0), np.float64)


def shared(paths: Paths, each: FloatArray) -> FloatArray:
    """What each part says of what parts share: the places of a copied figure together as much as one.

    Parameters
    ----------
    paths : Paths
        n parts.
    each : ndarray, shape (..., n, j)
        Log likelihood of each part by itself [1].

    Returns
    -------
    ndarray, shape (..., n, j)
        The same with its share of the whole [1].
    """
    return each if paths.share is None else each * paths.share[:, None].astype(each.dtype)


def _kernels(grid: Grid, constants: Constants, habits: Habits) -> tuple[FloatArray, FloatArray]:
    """Prior weight of a part's offset given what it shares: of a part like its fellows, and of any part."""
    # Spreads have a floor: likeness beyond it is what rounding and copying look like, and it would let one part's reading speak
    # for all; and a normal much narrower than the grid's step would fall between its points.
    apart = grid.offsets[:, None] - grid.offsets[None, :]
    var = constants.part_spread**2 + habits.least_spread**2
    usual = (1.0 - habits.odd_part) * grid.step * np.exp(log_normal(apart[None], var[:, None, None]))
    if not habits.odd_part:
        return usual, usual
    odd = log_normal(apart - apart.dtype.type(habits.odd_faster), np.array(habits.odd_spread**2))
    return usual, usual + habits.odd_part * grid.step * np.exp(odd)


def believe(
    paths: Paths,
    constants: Constants,
    habits: Habits,
    derivatives: tuple[int, ...] | None = None,
    grid: Grid | None = None,
    others: FloatArray | None = None,
) -> Beliefs:
    """Posterior weights of every machine effect and part rate, constants held.

    Parameters
    ----------
    paths : Paths
        n parts on m machines.
    constants : Constants
        b sets.
    habits : Habits
        How often records leave something out.
    derivatives : tuple of int or None
        Ground classes to differentiate by; None for no derivatives.
    grid : Grid or None
        Offsets to compute on; None takes what grid_for says.
    others : ndarray, shape (b, m, j), or None
        Weight of what the parts of each machine share before these readings [1], all of one kind; None takes that of machines of
        which nothing is known.

    References
    ----------
    Our own formulation, see docs/explanation/outlook.md; checked against fine quadrature.
    """
    grid = grid or grid_for(paths, constants)
    filtered = filter_paths(paths, rates_on(grid, paths, constants), constants, habits, derivatives)
    return believed(filtered, paths, constants, habits, grid, others)


def rates_on(grid: Grid, paths: Paths, constants: Constants) -> FloatArray:
    """Log rates of the grid.

    Returns
    -------
    ndarray, shape (b, n, j)
        About the mean of each part's kind [log of life used per hour].
    """
    return np.asarray(constants.log_rate[:, paths.kind, None].astype(grid.offsets.dtype) + grid.offsets)


def believed(
    filtered: Filtered,
    paths: Paths,
    constants: Constants,
    habits: Habits,
    grid: Grid,
    others: FloatArray | None = None,
) -> Beliefs:
    """Posterior weights of every machine effect and part rate from what each part's readings say by themselves.

    Parameters
    ----------
    filtered : Filtered
        From `filter_paths` at the rates of the grid.
    paths : Paths
        n parts on m machines.
    constants : Constants
        b sets.
    habits : Habits
        How often records leave something out.
    grid : Grid
        Offsets to compute on.
    others : ndarray, shape (b, m, j), or None
        As in believe [1].
    """
    offsets, rate_log = grid.offsets, rates_on(grid, paths, constants)
    # p(y | c) of a part is the sum over its rates of likelihood times kernel, one matrix product for all. Where each pace of a
    # kind is weighed c is that pace, and p(y | u) of the kind again such a sum, of the product over its parts; else c is the
    # machine effect u. A machine's posterior is the product over its kinds or parts times the prior of u. The largest likelihood
    # of each is taken out, so that nothing underflows.
    top = filtered.log_like.max(axis=2, keepdims=True)
    scaled = np.exp(filtered.log_like - top)
    usual, kernel = _kernels(grid, constants, habits)
    given = np.maximum(scaled @ kernel, _TINY)
    say, machine_of, kinds = shared(paths, np.log(given) + top), paths.group, None
    if constants.log_rate_u is not None and others is None:
        kinds = kind_pace(say, paths, constants.log_rate_u, habits, grid)
        say, machine_of = kinds.log, kinds.machine
    log_machine = np.add.reduceat(say, np.flatnonzero(np.diff(machine_of, prepend=-1)), axis=1)
    if others is None:
        machine_var = constants.machine_spread**2 + habits.least_spread**2
        log_machine += log_normal(offsets[None, None, :], machine_var[:, None, None])
    else:
        log_machine += np.log(np.maximum(others, _NOTHING))
    peak = log_machine.max(axis=2, keepdims=True)
    machine = np.exp(log_machine - peak)
    total = machine.sum(axis=2, keepdims=True)
    log_marginal = (np.log(total * grid.step) + peak).sum(axis=(1, 2))
    machine /= total
    # A part's own rate is weighed by what all the others say of c, so its own factor is divided out of it again.
    common, common_of = (machine, paths.group) if kinds is None else (kinds.weight(machine), kinds.of_part)
    without = common[:, common_of] / given
    weight = scaled * (without @ kernel.transpose(0, 2, 1))
    weight /= weight.sum(axis=2, keepdims=True)
    return Beliefs(
        *(paths, constants, habits, grid, filtered, rate_log, log_marginal),
        *(machine, usual, kernel, common),
        common_of,
        *(scaled, given, weight),
        kinds,
    )


def log_marginal_gradient(beliefs: Beliefs, kinds: int, grounds: tuple[int, ...]) -> FloatArray:
    """Gradient of the log marginal by the constants, by Fisher's identity.

    Parameters
    ----------
    beliefs : Beliefs
        Computed with derivatives for the same grounds.
    kinds : int
        Number of kinds.
    grounds : tuple of int
        Ground classes differentiated by.

    Returns
    -------
    ndarray, shape (b, kinds + len(grounds) + 4)
        By each log rate, each ground effect, and the logs of machine spread, part spread, noise and span spread [1].

    References
    ----------
    Fisher's identity (textbook): the gradient of a marginal is the posterior mean of the complete-data gradient.
    """
    return np.asarray(machine_gradients(beliefs, kinds, grounds).sum(axis=1))


def machine_gradients(beliefs: Beliefs, kinds: int, grounds: tuple[int, ...]) -> FloatArray:
    """Gradient of each machine's log marginal by the constants.

    Parameters
    ----------
    beliefs : Beliefs
        Computed with derivatives for the same grounds.
    kinds : int
        Number of kinds.
    grounds : tuple of int
        Ground classes differentiated by.

    Returns
    -------
    ndarray, shape (b, m, kinds + len(grounds) + 4)
        In the order of log_marginal_gradient [1].

    References
    ----------
    Fisher's identity (textbook).
    """
    paths, constants = beliefs.paths, beliefs.constants
    mean_d = shared(paths, np.einsum("bnj,qbnj->qbn", beliefs.weight, beliefs.filtered.d_log_like)[..., None])[
        ..., 0
    ]
    starts = np.flatnonzero(np.diff(paths.group, prepend=-1))
    sets, machines = beliefs.log_marginal.size, starts.size
    gradient = np.zeros((sets, machines, kinds + len(grounds) + 4))
    by_kind = mean_d[0][:, :, None] * (paths.kind[:, None] == np.arange(kinds))
    gradient[:, :, :kinds] = np.add.reduceat(by_kind, starts, axis=1)
    others = np.add.reduceat(mean_d[1:], starts, axis=2).transpose(1, 2, 0)
    gradient[:, :, kinds : kinds + len(grounds)] = others[:, :, :-2]
    # The spreads do not enter the filter: their gradient is that of the normal priors of the effects, averaged over both.
    machine_square = beliefs.machine @ beliefs.grid.offsets**2
    gradient[:, :, -4] = _by_log_spread(machine_square, 1.0, constants.machine_spread, beliefs.habits)
    by_part = _by_log_spread(*_part_square(beliefs), constants.part_spread, beliefs.habits)
    gradient[:, :, -3] = np.add.reduceat(shared(paths, by_part[..., None])[..., 0], starts, axis=1)
    gradient[:, :, -2:] = others[:, :, -2:]
    return gradient


def _by_log_spread(
    square: FloatArray, share: FloatArray | float, spread: FloatArray, habits: Habits
) -> FloatArray:
    """Gradient by the log of a spread, from the posterior mean square it has to explain and the share that it does explain."""
    learned = spread[:, None] ** 2
    var = learned + habits.least_spread**2
    return np.asarray((square / var - share) * learned / var)


def _part_square(beliefs: Beliefs) -> tuple[FloatArray, FloatArray]:
    """Posterior mean square of the own effect of parts like their fellows, and the chance of being so, shape (b, n) each."""
    offsets = beliefs.grid.offsets
    apart2 = (offsets[:, None] - offsets[None, :]) ** 2
    without = beliefs.common[:, beliefs.common_of] / beliefs.given_common
    square, share = (
        (beliefs.scaled * (without @ usual.transpose(0, 2, 1))).sum(axis=2)
        for usual in (beliefs.usual * apart2, beliefs.usual)
    )
    return square, share
