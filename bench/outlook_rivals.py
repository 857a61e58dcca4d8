"""The rivals: a straight line part by part, and a linear mixed model with a slope for each machine and each part."""

import time
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from outlook_scores import LEVELS, Scored
from scipy.special import ndtri
from scipy.stats import t as student

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Lines:
    """Straight lines part by part: the ends of a range of hours left; endless where nothing can be said."""

    low: FloatArray
    high: FloatArray
    bounded: BoolArray


def lines(paths: Any, confidence: float, weighted: FloatArray | None = None) -> Lines:
    """Least squares of life used over hours since the first mark, with Fieller's limits by Student's t.

    Points are the readings and, where the age is known, the new size at the hours of fitting. A line needs three. `weighted`
    gives log effects of the grounds, so that hours count as on middling ground; None takes meter hours, as a spreadsheet would.
    """
    factor = np.ones(paths.step_h.shape[2]) if weighted is None else np.exp(weighted)
    at = np.cumsum(paths.step_h @ factor, axis=1)
    now = at[np.arange(at.shape[0]), np.maximum(paths.count - 1, 0)] * (paths.count > 0) + paths.tail_h @ factor
    use = np.arange(at.shape[1]) < paths.count[:, None]
    x = np.column_stack((np.zeros(len(at)), at))
    y = np.column_stack((np.zeros(len(at)), paths.wear))
    use = np.column_stack((paths.start_known, use))
    n = use.sum(axis=1)
    with np.errstate(all="ignore"):
        x_mean, y_mean = ((use * value).sum(axis=1) / n for value in (x, y))
        dx, dy = use * (x - x_mean[:, None]), use * (y - y_mean[:, None])
        sxx = (dx**2).sum(axis=1)
        slope = (dx * dy).sum(axis=1) / sxx
        s2 = ((dy - slope[:, None] * dx) ** 2).sum(axis=1) / (n - 2)
        t = student.ppf(0.5 + confidence / 2, np.maximum(n - 2, 1))
        g = t**2 * s2 / (slope**2 * sxx)
        away = (1.0 - y_mean) / slope
        centre = x_mean + away / (1 - g)
        half = t * np.sqrt(s2) / (np.abs(slope) * (1 - g)) * np.sqrt((1 - g) / n + away**2 / sxx)
    bounded = (n >= 3) & (g < 1) & (slope > 0) & np.isfinite(half)
    low = np.where(bounded, np.maximum(centre - half - now, 0.0), 0.0)
    high = np.where(bounded, np.maximum(centre + half - now, 0.0), np.inf)
    return Lines(low, high, bounded)


@dataclass(frozen=True, slots=True)
class Mixed:
    """What the mixed model says of some parts."""

    rows: npt.NDArray[np.int64]
    scored: Scored
    seconds: float
    negative: float


def mixed_model(
    paths: Any, rows_of_newest: npt.NDArray[np.int64], truth: FloatArray, learned: Any, ground: Any
) -> Mixed:
    """statsmodels MixedLM: life used = (slope of kind + of machine + of part) times expected wear, restricted likelihood.

    Expected wear is ground-weighted hours times the kind's rate, both as we learned them, so that slopes are near 1 and
    comparable: the model is spared finding them. Parts of known age that were read: it has no way to treat the others. Its hours
    left follow from the normal slope, its present wear from the line; a slope under a tenth of the kind's counts as a tenth.
    """
    from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

    factor, rate = np.exp(learned.priors.ground), np.exp(learned.priors.log_rate)
    expected = np.cumsum(paths.step_h @ factor, axis=1) * rate[paths.kind][:, None]
    use = (np.arange(expected.shape[1]) < paths.count[:, None]) & paths.start_known[:, None]
    part, turn = np.nonzero(use)
    x, y, machine = expected[part, turn], paths.wear[part, turn], paths.machine[part]
    kinds = rate.size
    exog = np.zeros((x.size, kinds))
    exog[np.arange(x.size), paths.kind[part]] = x
    names, columns = [], []
    for number in np.unique(machine):
        mine = machine == number
        own = np.unique(part[mine])
        names.append([str(one) for one in own])
        columns.append(np.where(part[mine][:, None] == own, x[mine][:, None], 0.0))
    spec = VCSpec(["part"], [names], [columns])
    start = time.perf_counter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        result = MixedLM(y, exog, groups=machine, exog_re=x[:, None], exog_vc=spec).fit(reml=True)
        effects, covariances = result.random_effects, result.random_effects_cov
    seconds = time.perf_counter() - start
    slope, spread = np.full(paths.kind.size, np.nan), np.full(paths.kind.size, np.nan)
    for number, own in zip(np.unique(machine), names, strict=True):
        effect, covariance = np.asarray(effects[number]), np.asarray(covariances[number])
        for place, name in enumerate(own, start=1):
            row = int(name)
            slope[row] = result.fe_params[paths.kind[row]] + effect[0] + effect[place]
            pair = covariance[np.ix_([0, place], [0, place])]
            spread[row] = np.sqrt(max(pair.sum(), 1e-12))
    read = np.flatnonzero(np.isfinite(slope[rows_of_newest]))
    at = rows_of_newest[read]
    now = (paths.step_h.sum(axis=1) + paths.tail_h)[at] @ factor * rate[paths.kind[at]]
    slopes = slope[at][:, None] - spread[at][:, None] * ndtri(np.array(LEVELS))
    pace = np.maximum(slopes, 0.1) * (rate[paths.kind[at]] * factor[ground[at]])[:, None]
    hours = np.maximum(1 - slopes * now[:, None], 0.0) / pace
    none = (slopes * now[:, None] >= 1).mean(axis=1)
    return Mixed(read, Scored(hours, none, truth[read]), seconds, float((slopes < 0).mean()))
