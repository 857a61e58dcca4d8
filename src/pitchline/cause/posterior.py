"""How likely each cause is after looking: the exact sum over every set of causes."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pitchline.cause.nets import RUBBER, STEEL, Net
from pitchline.trade.causes import Cause, Sign

Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

SEEN, NOT_SEEN = float("inf"), 0.0
"""A sign looked for: there, and not there. Between them a likelihood ratio; of a sign nobody looked at nothing is said."""


@dataclass(frozen=True, slots=True)
class _Sets:
    """Every set of causes: which are in it, and for each sign the chance that it does not show."""

    within: Floats
    quiet: Mapping[Sign, Floats]


@dataclass(frozen=True, slots=True)
class Posterior:
    """What looking tells of the causes.

    Parameters
    ----------
    chances : mapping of Cause to float
        Chance that each is at work [1], in the order of the net.
    none : float
        Chance that none of them is [1]: something else.
    total : float
        Chance of what was found, but for factors that are the same for all causes [1].
    both : ndarray, shape (n, n)
        Chance that two are at work together [1]; on the diagonal that one is.
    weights : ndarray, shape (2**n,)
        Chance of each set of causes [1].
    """

    chances: Mapping[Cause, float]
    none: float
    total: float
    both: Floats
    weights: Floats

    @property
    def first(self) -> Cause:
        """The likeliest."""
        return max(self.chances, key=lambda cause: self.chances[cause])

    def shifted(self, cause: Cause, times: float) -> dict[Cause, float]:
        """The chances if the odds of one cause were other.

        Parameters
        ----------
        cause : Cause
            Which.
        times : float
            What its odds are multiplied by, above 0.

        Returns
        -------
        dict of Cause to float
            As `chances`.
        """
        at = list(self.chances).index(cause)
        whole = 1.0 + (times - 1.0) * self.both[at, at]
        alone = np.diagonal(self.both) + (times - 1.0) * self.both[at]
        return dict(zip(self.chances, (alone / whole).tolist(), strict=True))


@lru_cache(maxsize=4)
def _sets(steel: bool) -> _Sets:
    """About 6 MB for a steel chain, made once in a process: 2^15 sets."""
    return _sets_of(STEEL if steel else RUBBER)


def quiet_of(net: Net) -> Mapping[Sign, Floats]:
    """For each sign the chance in each set of causes that it does not show [1], shape (2**n,)."""
    return _known(net).quiet


def within_of(net: Net) -> Floats:
    """Which causes are in each set of causes, shape (2**n, n): 1 where one is, else 0."""
    return _known(net).within


def _known(net: Net) -> _Sets:
    return _sets(net is STEEL) if net is STEEL or net is RUBBER else _sets_of(net)


def _sets_of(net: Net) -> _Sets:
    """All sets of a net's causes, with what each leaves unseen."""
    n = len(net.priors)
    within = ((np.arange(2**n)[:, None] >> np.arange(n)) & 1).astype(np.float64)
    quiet = {}
    for sign, leak in net.leaks.items():
        silent = np.array([1.0 - net.strengths[cause].get(sign, 0.0) for cause in net.priors])
        quiet[sign] = (1.0 - leak) * np.exp(within @ np.log(silent))
    return _Sets(within, quiet)


def posterior(net: Net, evidence: Mapping[Sign, float], odds: Mapping[Cause, float] | None = None) -> Posterior:
    """The chance of each cause after looking.

    Parameters
    ----------
    net : Net
        Causes and signs.
    evidence : mapping of Sign to float
        `SEEN`, `NOT_SEEN`, or how many times likelier what was read is where the sign is there than where it is not [1], above 0.
        A sign nobody looked at is left out.
    odds : mapping of Cause to float or None
        What is known of the work: the odds of a cause before looking are multiplied by it, above 0.

    Returns
    -------
    Posterior
        By the exact sum over all sets of causes; without evidence and odds the priors.

    References
    ----------
    Noisy-or with leak and virtual evidence: Pearl (1988), from memory. With q the chance that a sign does not show, a sign seen
    brings the factor 1 - q, one looked for and not seen q, a reading with ratio L the factor L - (L - 1) q.
    """
    sets = _known(net)
    before = np.array([net.priors[cause] / (1.0 - net.priors[cause]) for cause in net.priors])
    before = before * np.array([(odds or {}).get(cause, 1.0) for cause in net.priors])
    chance = before / (1.0 + before)
    weights = np.exp(sets.within @ np.log(chance) + (1.0 - sets.within) @ np.log1p(-chance))
    for sign, ratio in evidence.items():
        weights = weights * factor(sets.quiet[sign], ratio)
    total = float(weights.sum())
    weights = weights / total
    both = sets.within.T @ (weights[:, None] * sets.within)
    chances = dict(zip(net.priors, np.diagonal(both).tolist(), strict=True))
    return Posterior(chances, float(weights[0]), total, both, weights)


def factor(quiet: Floats, ratio: float) -> Floats:
    """What a look is worth in each set of causes.

    Parameters
    ----------
    quiet : ndarray
        Chance that the sign does not show [1].
    ratio : float
        As in `posterior`.

    Returns
    -------
    ndarray
        As `quiet`.
    """
    return 1.0 - quiet if ratio == SEEN else ratio - (ratio - 1.0) * quiet
