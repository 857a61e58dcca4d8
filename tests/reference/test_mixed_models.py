"""Published fits, repeated with general-purpose libraries: the ground our own outlook is compared on.

Sources
- NIST Statistical Reference Datasets, linear regression, Norris (certified values).
- Bates, Maechler, Bolker, Walker, J. Stat. Softw. 67 (2015) 1, lme4's output for `sleepstudy` (from memory for the page).
- Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (2000), `Orthodont` (from memory; digits computed).
The tables are in tests/data/open_tables, with where they came from.
"""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
import statsmodels.formula.api as smf

TABLES = Path(__file__).parents[1] / "data" / "open_tables"


@pytest.fixture
def norris():
    table = np.genfromtxt(TABLES / "norris.csv", delimiter=",", names=True)
    return table["x"], table["y"]


def test_norris_by_least_squares_gives_the_certified_values(norris):
    """NIST StRD Norris: estimates, their standard deviations, residual standard deviation, R squared."""
    x, y = norris
    fit = sm.OLS(y, sm.add_constant(x)).fit()
    assert fit.params == pytest.approx([-0.262323073774029, 1.00211681802045], rel=1e-9)
    assert fit.bse == pytest.approx([0.232818234301152, 0.429796848199937e-03], rel=1e-9)
    assert np.sqrt(fit.scale) == pytest.approx(0.884796396144373, rel=1e-9)
    assert fit.rsquared == pytest.approx(0.999993745883712, rel=1e-12)


def test_norris_by_plain_sums(norris):
    """The plain sums behind a line's crossing give the same certified figures."""
    x, y = norris
    sxx = np.sum((x - x.mean()) ** 2)
    slope = np.sum((x - x.mean()) * (y - y.mean())) / sxx
    start = y.mean() - slope * x.mean()
    residual_sd = np.sqrt(np.sum((y - start - slope * x) ** 2) / (len(x) - 2))
    assert (start, slope) == pytest.approx((-0.262323073774029, 1.00211681802045), rel=1e-9)
    assert residual_sd == pytest.approx(0.884796396144373, rel=1e-9)
    assert residual_sd / np.sqrt(sxx) == pytest.approx(0.429796848199937e-03, rel=1e-9)


def test_sleepstudy_random_intercept_and_slope():
    """lme4: Reaction ~ Days + (Days | Subject), REML; printed digits."""
    table = pd.read_csv(TABLES / "sleepstudy.csv")
    fit = smf.mixedlm("reaction ~ days", table, groups="subject", re_formula="~days").fit(reml=True)
    spread = np.sqrt(np.diag(fit.cov_re))
    assert fit.converged
    assert fit.fe_params.to_numpy() == pytest.approx([251.405, 10.467], abs=6e-4)
    assert fit.bse_fe.to_numpy() == pytest.approx([6.825, 1.546], abs=6e-4)
    assert spread == pytest.approx([24.741, 5.922], abs=1.5e-3)
    assert fit.cov_re.iloc[0, 1] / spread.prod() == pytest.approx(0.07, abs=0.005)
    assert np.sqrt(fit.scale) == pytest.approx(25.592, abs=6e-4)
    assert -2 * fit.llf == pytest.approx(1743.628, abs=6e-4)


def test_orthodont_random_intercept():
    """nlme: distance ~ age, random intercept, REML; computed digits that agree with the book."""
    table = pd.read_csv(TABLES / "orthodont.csv")
    fit = smf.mixedlm("distance ~ age", table, groups="subject").fit(reml=True)
    assert fit.converged
    assert fit.fe_params.to_numpy() == pytest.approx([16.7611, 0.66019], abs=1e-4)
    assert fit.bse_fe.to_numpy() == pytest.approx([0.8024, 0.06161], abs=1e-4)
    assert np.sqrt(fit.cov_re.iloc[0, 0]) == pytest.approx(2.1147, abs=1e-4)
    assert np.sqrt(fit.scale) == pytest.approx(1.4316, abs=1e-4)
    assert fit.llf == pytest.approx(-223.5013, abs=1e-4)
