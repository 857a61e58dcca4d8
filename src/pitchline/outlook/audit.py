"""How far the outlook kept its promises on a fleet's own history.

See docs/explanation/calibration.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.optimize import minimize_scalar

from pitchline.outlook.fleet import Learned
from pitchline.outlook.mixture import crps_normals
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray, Paths
from pitchline.outlook.walk_checks import walk_rounds
from pitchline.outlook.walk_forward import Predicted, walk_forward

PROMISED = (0.5, 0.8, 0.9)
"""Shares of readings that ranges are meant to hold."""
BINS = 10
ENOUGH_READINGS = 30
"""Predicted readings below which nothing is said of a kind."""
_BEYOND_CHANCE = 2.58
"""Standard deviations a share must be off: of a hundred honest rows one is called otherwise."""
_COVERAGE_MATTERS = 0.03
_LEAN_MATTERS = 0.05
_EVEN = 1 / np.sqrt(12)


class Width(StrEnum):
    """Whether ranges were as wide as the readings asked for."""

    AS_PROMISED = "as promised"
    TOO_NARROW = "too narrow"
    TOO_WIDE = "too wide"
    TOO_FEW = "too few readings"


class Lean(StrEnum):
    """Whether parts wore faster or slower than predicted."""

    NONE = "even"
    FASTER = "wore faster than predicted"
    SLOWER = "wore slower than predicted"
    TOO_FEW = "too few readings"


@dataclass(frozen=True, slots=True)
class AuditRow:
    """How predictions of one kind of part turned out, or of all.

    Parameters
    ----------
    kind : str
        Word of the kind; empty for all together.
    readings, machines : int
        Readings predicted, and machines they were taken on.
    inside : tuple of float
        Share of them inside the range, at each share of PROMISED [1].
    inside_u : tuple of float
        Standard deviation of that share if the promise is kept: the larger of the binomial one and the one that lets readings of
        one machine move together [1].
    binomial_u : tuple of float
        The binomial one alone [1].
    histogram : tuple of int
        Readings in each tenth of the forecast, lowest first: alike where the forecast is right.
    ks : float
        Largest gap between the forecast's chances and an even spread [1].
    mean_chance : float
        Mean chance given to anything below what came [1]: 0.5 where forecasts do not lean.
    mean_chance_u : float
        Its standard deviation if they do not [1].
    crps : float
        Mean score, smaller is better [life used, 1].
    plain_crps : float
        The plain line's score, with the spread that, in hindsight, serves it best [life used, 1].
    miss, plain_miss : float
        Mean distance of the reading from the middle of the forecast, and from the plain line [life used, 1].

    References
    ----------
    Gneiting, Balabdaoui and Raftery, J. R. Stat. Soc. B 69 (2007) 243 (from memory) for the scores; see
    docs/explanation/calibration.md.
    """

    kind: str
    readings: int
    machines: int
    inside: tuple[float, ...]
    inside_u: tuple[float, ...]
    binomial_u: tuple[float, ...]
    histogram: tuple[int, ...]
    ks: float
    mean_chance: float
    mean_chance_u: float
    crps: float
    plain_crps: float
    miss: float
    plain_miss: float

    @property
    def against_plain(self) -> float:
        """Score as a share of the plain line's [1]; below 1 is better."""
        return self.crps / self.plain_crps if self.plain_crps > 0 else float("nan")

    @property
    def width(self) -> Width:
        """Whether the 80 % range held what it promised, beyond chance and by more than three in a hundred."""
        if self.readings < ENOUGH_READINGS:
            return Width.TOO_FEW
        gap = self.inside[1] - PROMISED[1]
        if abs(gap) <= max(_BEYOND_CHANCE * self.inside_u[1], _COVERAGE_MATTERS):
            return Width.AS_PROMISED
        return Width.TOO_NARROW if gap < 0 else Width.TOO_WIDE

    @property
    def lean(self) -> Lean:
        """Whether parts wore faster or slower than predicted, beyond chance and by enough to matter."""
        if self.readings < ENOUGH_READINGS:
            return Lean.TOO_FEW
        gap = self.mean_chance - 0.5
        if abs(gap) <= max(_BEYOND_CHANCE * self.mean_chance_u, _LEAN_MATTERS):
            return Lean.NONE
        return Lean.FASTER if gap > 0 else Lean.SLOWER


@dataclass(frozen=True, slots=True)
class Audit:
    """How far the outlook kept its promises.

    Parameters
    ----------
    overall : AuditRow or None
        All kinds together; None where nothing could be predicted.
    kinds : tuple of AuditRow
        Each kind that was predicted, in the order of the kinds' numbers.
    machines : int
        Machines in the fleet.
    walk_rounds : int
        Most walk-rounds of any machine.
    left_out : int
        Later readings that could not be predicted: the first reading of a part of unknown age.
    cuts : tuple of (int, int)
        At which walk-rounds the constants were learned anew (0 is the first), and from how many readings.
    """

    overall: AuditRow | None
    kinds: tuple[AuditRow, ...]
    machines: int
    walk_rounds: int
    left_out: int
    cuts: tuple[tuple[int, int], ...]


def audit(
    paths: Paths,
    kinds: tuple[str, ...],
    start: Learned,
    start_h: FloatArray,
    cuts: int = 3,
    seed: int = 0,
    walk: IntArray | None = None,
) -> Audit:
    """A fleet's history predicted walk-round by walk-round, and how the predictions turned out.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each; kind numbers as in kinds.
    kinds : tuple of str
        Words for the kinds.
    start : Learned
        What was known before any reading; nothing in it may have been learned from these readings.
    start_h : ndarray, shape (n,)
        Meter hours when each part was fitted [h]; 0 where unknown.
    cuts : int
        How often the constants are learned anew, from 1.
    seed : int
        Seed of the sets of constants, where they are integrated over.
    walk : ndarray of int, shape (n, r), or None
        Number of the walk-round of each reading, -1 where padded; None orders readings by meter hours.

    Raises
    ------
    NotAllowedError
        No cut, or walk-round numbers that do not fit the paths.
    """
    numbered = walk_rounds(paths, start_h) if walk is None else walk
    predicted = walk_forward(paths, start, numbered, cuts, seed)
    overall, rows = audit_rows(predicted, kinds)
    machines = int(paths.group[-1]) + 1
    most = int(numbered.max(initial=-1)) + 1
    return Audit(overall, rows, machines, most, predicted.left_out, predicted.cuts)


def audit_rows(predicted: Predicted, kinds: Sequence[str]) -> tuple[AuditRow | None, tuple[AuditRow, ...]]:
    """Scores of predictions, together and by kind.

    Returns
    -------
    overall : AuditRow or None
        None without any reading.
    rows : tuple of AuditRow
        One for each kind with a reading.

    References
    ----------
    As AuditRow.
    """
    if not predicted.part.size:
        return None, ()
    best = _plain_scores(predicted)
    numbers = np.unique(predicted.kind)
    rows = tuple(_row(kinds[number], predicted, predicted.kind == number, best) for number in numbers)
    return _row("", predicted, np.ones(predicted.part.size, np.bool_), best), rows


def _plain_scores(predicted: Predicted) -> FloatArray:
    """Score of the plain line at each reading, given for each kind the spread that serves it best in hindsight."""
    scores = np.zeros(predicted.part.size)
    for kind in np.unique(predicted.kind):
        mine = predicted.kind == kind
        scores[mine] = _best_normal(predicted.plain_miss[mine])
    return scores


def _best_normal(miss: FloatArray) -> FloatArray:
    scale = max(float(np.abs(miss).mean()), 1e-9)
    found = minimize_scalar(
        lambda log: float(crps_normals(miss, scale * float(np.exp(log))).mean()),
        bounds=(-4.0, 3.0),
        method="bounded",
    )
    return crps_normals(miss, scale * float(np.exp(found.x)))


def _row(kind: str, predicted: Predicted, mine: BoolArray, plain_scores: FloatArray) -> AuditRow:
    chance, machine = predicted.chance_below[mine], predicted.machine[mine]
    inside, inside_u, binomial_u = zip(*(_coverage(chance, machine, share) for share in PROMISED), strict=True)
    counts = np.bincount(np.minimum((chance * BINS).astype(np.int64), BINS - 1), minlength=BINS)
    return AuditRow(
        kind=kind,
        readings=int(chance.size),
        machines=int(np.unique(machine).size),
        inside=inside,
        inside_u=inside_u,
        binomial_u=binomial_u,
        histogram=tuple(int(count) for count in counts),
        ks=_ks(chance),
        mean_chance=float(chance.mean()),
        mean_chance_u=max(_together(chance - 0.5, machine), float(_EVEN / np.sqrt(chance.size))),
        crps=float(predicted.crps[mine].mean()),
        plain_crps=float(plain_scores[mine].mean()),
        miss=float(np.abs(predicted.miss[mine]).mean()),
        plain_miss=float(np.abs(predicted.plain_miss[mine]).mean()),
    )


def _coverage(chance: FloatArray, machine: IntArray, share: float) -> tuple[float, float, float]:
    """Share inside the central range, its standard deviation if the promise is kept, and the binomial one."""
    inside = (np.abs(chance - 0.5) <= share / 2).astype(np.float64)
    binomial = float(np.sqrt(share * (1 - share) / chance.size))
    return float(inside.mean()), max(binomial, _together(inside - share, machine)), binomial


def _together(gap: FloatArray, machine: IntArray) -> float:
    """Standard deviation of a mean whose promised value is 0, readings of one machine free to move together."""
    sums = np.bincount(machine, weights=gap)
    return float(np.sqrt((sums**2).sum()) / gap.size)


def _ks(chance: FloatArray) -> float:
    """Largest gap to an even spread on (0, 1): the Kolmogorov-Smirnov distance."""
    ordered, steps = np.sort(chance), np.arange(chance.size + 1) / chance.size
    return float(max((steps[1:] - ordered).max(), (ordered - steps[:-1]).max()))
