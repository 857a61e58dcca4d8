"""Scores of hours-left forecasts given as quantiles, once the truth is known."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

LEVELS = tuple(round(0.01 * step, 2) for step in range(1, 100))
"""Levels the bench asks for: enough for the probability integral transform and for the quantile form of the CRPS."""
RANGES = ((50, 24, 74), (80, 9, 89), (90, 4, 94))
"""Range [%], and the places of its ends among the levels."""


@dataclass(frozen=True, slots=True)
class Scored:
    """Forecast hours at the 99 levels, the chance of nothing left, and the true hours; one row a part."""

    hours: FloatArray
    none_left: FloatArray
    truth: FloatArray

    def of(self, rows: npt.NDArray[np.generic]) -> "Scored":
        return Scored(self.hours[rows], self.none_left[rows], self.truth[rows])

    @property
    def ahead(self) -> "Scored":
        """Those not past their limit: for the others a range from nothing is right whatever it is worth."""
        return self.of(self.truth > 0)

    def coverage(self) -> list[float]:
        """Share of truths inside the 50, 80 and 90 % range [%]."""
        shares = []
        for _, low, high in RANGES:
            inside = (self.hours[:, low] <= self.truth) & (self.truth <= self.hours[:, high])
            shares.append(100 * float(inside.mean()))
        return shares

    def width(self) -> FloatArray:
        """Width of the 90 % range [h]."""
        return self.hours[:, 94] - self.hours[:, 4]

    def crps(self) -> float:
        """Mean of twice the pinball loss over the levels [h] (Gneiting and Raftery, J. Am. Stat. Assoc. 102 (2007) 359)."""
        miss = self.truth[:, None] - self.hours
        return float(2 * np.maximum(np.array(LEVELS) * miss, (np.array(LEVELS) - 1) * miss).mean())

    def pit(self, seed: int = 0) -> FloatArray:
        """Chance the forecast gave to no more than the truth; drawn between 0 and the chance of nothing left where nothing is."""
        levels, found = np.array(LEVELS), np.empty(self.truth.size)
        for row, (hours, none, truth) in enumerate(zip(self.hours, self.none_left, self.truth, strict=True)):
            first = min(float(none), levels[0])
            places = np.r_[0.0, hours, 2 * hours[-1] - hours[-10] + 1.0]
            found[row] = np.interp(truth, places, np.r_[first, levels, 1.0])
            if none > levels[0]:
                found[row] = max(found[row], float(none))
        at_once = self.truth == 0
        found[at_once] = np.random.default_rng(seed).random(int(at_once.sum())) * self.none_left[at_once]
        return found

    def ks(self) -> float:
        """Distance of the transform from uniform."""
        ordered = np.sort(self.pit())
        place = np.arange(ordered.size + 1) / ordered.size
        return float(max(np.max(place[1:] - ordered), np.max(ordered - place[:-1])))


def coverage_words(scored: Scored) -> str:
    """Coverage with the number of parts and its binomial standard deviation at 80 %."""
    count = scored.truth.size
    shares = "  ".join(f"{share:5.1f}" for share in scored.coverage())
    return f"{count:7d}   {shares}   ±{100 * np.sqrt(0.16 / max(count, 1)):.1f}"
