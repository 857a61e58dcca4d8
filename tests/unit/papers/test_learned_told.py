"""What was learned beside what was used before, in figures."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from pitchline.outlook.late import Late
from pitchline.outlook.learned import weak
from pitchline.outlook.learned_limit import LearnedLimit
from pitchline.papers.learned_told import TENTH, moved, rests_said, untold_said

KINDS = ("bush_od", "link_height")


@pytest.fixture
def before():
    return weak(KINDS, {"bush_od": (5000.0, 0.6), "link_height": (6000.0, 0.6)})


@pytest.fixture
def now(before):
    priors = replace(
        before.priors,
        log_rate=-np.log([4000.0, 6000.0]),
        log_rate_u=np.array([0.05, 0.6]),
        log_machine_spread=(np.log(0.2), 0.1),
    )
    limit = LearnedLimit(0.9, 0.85, 0.96, 0.1, 12, 9)
    return replace(
        before,
        priors=priors,
        late=Late(0.7, np.array([1.5, 1.0])),
        machines=1234,
        parts=5678,
        readings=9012,
        limits={"bush_od": limit},
    )


def test_the_range_holds_eight_in_ten_of_a_bell():
    assert pytest.approx(norm.ppf(0.9), abs=1e-12) == TENTH


def test_each_constant_stands_beside_what_was_used(before, now):
    """The logarithm is a bell: 4,000 h times and over exp(1.2816 x 0.05), 3,752 and 4,265 h (scipy's normal quantile)."""
    told = {one.what: one for one in moved(before, now)}
    life = told["life of bushes on middling ground"]
    assert (life.now.low, life.now.high) == pytest.approx(
        (4000 * np.exp(-norm.ppf(0.9) * 0.05), 4000 * np.exp(norm.ppf(0.9) * 0.05))
    )
    assert life.now_said.replace("\N{NO-BREAK SPACE}", " ") == "4,000 h (3,750 to 4,260)"
    assert life.moved_said.replace("\N{NO-BREAK SPACE}", " ") == "−20 %"
    assert told["life of link rails on middling ground"].moved_said == "as before"
    assert len([what for what in told if what.startswith("wear on ")]) == 4
    taken = told["life used at which bushes are taken off"]
    assert (taken.before_said, taken.moved_said) == ("not known", "new")
    assert taken.now_said.replace("\N{NO-BREAK SPACE}", " ") == "90 % (85 % to 96 %)"
    late = next(one for what, one in told.items() if what.startswith("pace of bushes"))
    assert late.now_said == "1.5 times"


def test_how_much_it_rests_on_and_what_is_not_in_it(now):
    assert rests_said(now) == "1,234 machines, 5,678 parts, 9,012 readings"
    assert untold_said({"no_limit": 1, "meter": 0, "copied": 2}) == (
        "1 reading of what has no limit entered teaches nothing.",
        "2 readings look copied from others and still count in full.",
    )
