"""How old readings are, what that asks for, and that no old reading is called fresh."""

import datetime as dt
from dataclasses import replace

import pytest

from judged_once import judge_once
from pitchline.judge import judge
from pitchline.judge.age import OLD_CARRIED_H, OLD_WEEKS, age_of, age_said, is_old
from pitchline.trade.calls import Call
from pitchline.words import say

READ = dt.date(2026, 8, 12)


@pytest.mark.parametrize(
    ("days", "carried_h", "said"),
    [
        (0, 0.0, ""),
        (1, 4.6, "read 1 day ago, carried on 5 h"),
        (13, 60.0, "read 13 days ago, carried on 60 h"),
        (14, 64.0, "read 2 weeks ago, carried on 64 h"),
        (109, 498.3, "read 15 weeks ago, carried on 498 h"),
        (758, 3465.1, "read 108 weeks ago, carried on 3,465 h"),
        (758, None, "read 108 weeks ago; hours since are not known"),
    ],
)
def test_age_in_words(days, carried_h, said):
    assert say(age_said(READ, READ + dt.timedelta(days=days), carried_h)) == said


def test_old_by_weeks_or_by_hours():
    weeks = dt.timedelta(weeks=OLD_WEEKS)
    assert not is_old(READ, READ + weeks, OLD_CARRIED_H)
    assert is_old(READ, READ + weeks + dt.timedelta(days=1), 0.0)
    assert is_old(READ, READ + weeks + dt.timedelta(days=1), None)
    assert is_old(READ, READ + dt.timedelta(weeks=4), OLD_CARRIED_H + 1)


def test_day_of_the_walk_round_says_nothing_of_age(dossier):
    verdict = judge(dossier)
    assert (verdict.read_on, verdict.carried_h, age_of(verdict)) == (verdict.as_of, 0.0, None)
    assert not any("Go round" in one for one in (say(verdict.headline), *map(say, verdict.remarks)))


def test_two_years_without_a_walk_round_are_said_first(dossier):
    """The invented excavator, read on 7 Sep 2026 at 30 h a week: 108 weeks are 3,240 h."""
    verdict = judge(dossier, as_of=dt.date(2026, 9, 7) + dt.timedelta(weeks=108))
    assert "read 108 weeks ago, carried on 3,240 h" in say(verdict.headline)
    assert say(verdict.remarks[0]).startswith("Go round it before anything is ordered: read 108 weeks ago")
    assert "may have stood" in say(verdict.remarks[1])
    assert "rusted" in say(verdict.remarks[1])
    assert verdict.carried_h == pytest.approx(3240.0)


@pytest.mark.parametrize("weeks", [1, 5, 13, 14, 20, 26, 52, 104])
def test_old_readings_never_run_and_never_lose_a_stop(dossier, worn, weeks):
    """Whatever the call, beyond the threshold the headline asks for the walk-round, and a stop still comes before it."""
    for one in (dossier, worn(0.2), worn(1.2), replace(dossier, utilisation=None)):
        last = one.walk_rounds[-1].date
        fresh, later = judge_once(one), judge(one, as_of=last + dt.timedelta(weeks=weeks))
        old = is_old(last, later.as_of, later.carried_h)
        assert old == ("Go round it" in say(later.headline))
        assert not (old and later.call is Call.RUN)
        assert not (old and "Run it" in say(later.headline))
        if fresh.call is Call.STOP:
            assert later.call is Call.STOP
            assert say(later.headline).startswith("Do not work it")


def test_standing_is_told_by_the_meter(dossier, walk_round):
    """Five hours in two years: it stood, whatever its hours a week say."""
    stood = replace(
        dossier, walk_rounds=(walk_round("2024-10-01", 3000.0, 0.3), walk_round("2026-11-01", 3005.0, 0.3))
    )
    said = next(one for one in map(say, judge(stood).remarks) if "hardly worked" in one)
    assert "108 weeks" in said
    for word in ("seals", "rusted", "flat spots", "common practice, no source"):
        assert word in said
    worked = replace(stood, walk_rounds=(stood.walk_rounds[0], walk_round("2026-11-01", 4000.0, 0.3)))
    assert not any("hardly worked" in one for one in map(say, judge(worked).remarks))
