"""Learned limits against an independent fit of a censored normal distribution.

Source: scipy.stats.norm.fit on scipy.stats.CensoredData, a general-purpose library's maximum likelihood for right-censored data.
With hundreds of removals our weak prior weighs next to nothing, so the two must agree to a small part of the standard error.
The standard error is that of the same library fit, by simulation afresh from it (parametric bootstrap).
"""

import numpy as np
import pytest
from scipy import stats

from pitchline.outlook.learned_limit import learned_limit


def removals(seed, count, typical, spread):
    """Exact figures: level of each part, and another reason that comes first for about a third."""
    rng = np.random.default_rng(seed)
    level, other = rng.normal(typical, spread, count), rng.normal(typical + spread / 2, 2 * spread, count)
    return np.minimum(level, other), level < other


def fitted(used, worn):
    """Location and scale by the library."""
    return stats.norm.fit(stats.CensoredData(uncensored=used[worn], right=used[~worn]))


@pytest.mark.parametrize(("seed", "typical", "spread"), [(1, 0.9, 0.1), (2, 1.1, 0.2), (3, 0.7, 0.05)])
def test_typical_value_and_spread_agree_with_maximum_likelihood(seed, typical, spread):
    used, worn = removals(seed, 600, typical, spread)
    location, scale = fitted(used, worn)
    found = learned_limit(used, np.zeros(600), worn)
    assert found.typical == pytest.approx(location, abs=0.45 * spread / np.sqrt(600))
    assert found.spread == pytest.approx(scale, rel=0.02)


def test_range_agrees_with_the_bootstrap_of_the_library_fit():
    """Half-width of the 80 % range: 1.2816 standard errors (normal quantile)."""
    used, worn = removals(4, 300, 0.9, 0.1)
    location, scale = fitted(used, worn)
    rng, again = np.random.default_rng(5), []
    for _ in range(150):
        level, other = rng.normal(location, scale, 300), rng.normal(0.95, 0.2, 300)
        again.append(fitted(np.minimum(level, other), level < other)[0])
    found = learned_limit(used, np.zeros(300), worn)
    assert (found.high - found.low) / 2 == pytest.approx(1.2816 * np.std(again), rel=0.2)


def test_equal_doubt_adds_to_the_spread_as_variances_add():
    """Without censoring the library's scale squared is the spread squared plus the doubt squared (sum of variances)."""
    rng = np.random.default_rng(6)
    used = rng.normal(0.95, np.hypot(0.12, 0.05), 800)
    found = learned_limit(used, np.full(800, 0.05), np.ones(800, bool))
    assert np.hypot(found.spread, 0.05) == pytest.approx(stats.norm.fit(used)[1], rel=0.02)
