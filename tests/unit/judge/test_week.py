"""Hours a week from what the meter showed, and hours carried on from there: means and quantiles by pandas, the rest by hand."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.judge import judge
from pitchline.judge.machine_by_day import known_by
from pitchline.judge.week import week_of
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.hours_seen import HoursSeen
from pitchline.trade.meter import MeterChange
from pitchline.words import say

READ_ON, READ_H = dt.date(2026, 9, 7), 3000.0
"""Of the last walk-round of the invented excavator; 30 h a week are entered with it."""


def fed(dossier, daily_h, every=1, **changes):
    """The same machine with its meter seen on each day after the last walk-round, so many hours more than the day before."""
    days = [READ_ON + dt.timedelta(days=1 + n) for n in range(len(daily_h))]
    shown = READ_H + np.cumsum(daily_h)
    seen = [HoursSeen(day, float(hours)) for day, hours in zip(days, shown, strict=True)][every - 1 :: every]
    return replace(dossier, hours_seen=tuple(seen), **changes)


@pytest.fixture(scope="module")
def daily_h():
    """Twelve weeks of five working days, no two weeks alike."""
    rng = np.random.default_rng(20261130)
    weeks = rng.uniform(10, 55, 12)
    return np.concatenate([np.r_[np.full(5, week / 5), 0.0, 0.0] for week in weeks])


def test_week_is_the_mean_and_the_outer_tenths_of_the_weeks(dossier, daily_h):
    """Independently by pandas: resampled to weeks of seven days."""
    week = week_of(fed(dossier, daily_h), READ_ON + dt.timedelta(days=200))
    weekly = pd.Series(daily_h).groupby(np.arange(daily_h.size) // 7).sum()
    assert week.utilisation.usual == pytest.approx(weekly.mean())
    assert week.utilisation.low == pytest.approx(weekly.quantile(0.1))
    assert week.utilisation.high == pytest.approx(weekly.quantile(0.9))
    assert week.learned_weeks == 12


def test_last_half_year_counts(dossier):
    """30 weeks at 10 h, then 26 at 40 h: 40 h."""
    week = week_of(fed(dossier, np.r_[np.full(210, 10 / 7), np.full(182, 40 / 7)]), dt.date(2028, 1, 1))
    assert (week.learned_weeks, week.utilisation.usual) == (26, pytest.approx(40.0))


@pytest.mark.parametrize(
    ("daily", "every", "changes"),
    [
        (np.full(27, 5.0), 1, {}),  # not four weeks
        (np.full(60, 5.0), 14, {}),  # four sights
        (np.full(90, 5.0), 1, {"own_week": True}),
    ],
)
def test_what_somebody_entered_holds_without_enough_and_where_it_is_to_hold(dossier, daily, every, changes):
    week = week_of(fed(dossier, daily, every, **changes), dt.date(2027, 1, 1))
    assert (week.utilisation, week.learned_weeks) == (dossier.utilisation, 0)


def test_machine_that_stood_teaches_no_week(dossier):
    standing = fed(dossier, np.zeros(70))
    assert (week_of(standing, dt.date(2027, 1, 1)).utilisation, known_by(standing, None).carried_h) == (
        dossier.utilisation,
        0.0,
    )
    assert any("By its meter it stood for the last 10 weeks" in say(one) for one in judge(standing).remarks)


@pytest.mark.parametrize("seed", range(20))
def test_any_feed_gives_a_week_that_can_be(dossier, seed):
    rng = np.random.default_rng(seed)
    daily = rng.choice([0.0, 0.02, 3.0, 24.0], int(rng.integers(30, 300)), p=rng.dirichlet(np.ones(4)))
    use = week_of(fed(dossier, daily, int(rng.integers(1, 6))), dt.date(2030, 1, 1)).utilisation
    assert isinstance(use, Utilisation)  # in rising order, above 0 and up to 168, or it could not be made


def test_hours_go_on_from_the_meter_and_not_from_the_walk_round(dossier, daily_h):
    """Seen for twelve weeks, then two weeks more at the learned week."""
    machine = fed(dossier, daily_h)
    last = machine.hours_seen[-1]
    known = known_by(machine, last.date + dt.timedelta(weeks=2))
    assert known.now_h == pytest.approx(last.service_h + 2 * daily_h.sum() / 12)
    assert known.carried_h == pytest.approx(known.now_h - READ_H)
    assert say(known.how).startswith(f"as its meter showed on {last.date:%-d %b %Y}, carried on by")
    assert known_by(machine, None).now_h == last.service_h
    assert known_by(machine, READ_ON).now_h == READ_H  # what came later is not known that day


def test_more_hours_seen_leave_fewer_and_say_so(dossier):
    """40 h a week for twelve weeks where 30 were entered: 480 h gone, and 40 a week from here on."""
    slow, fast = (judge(fed(dossier, np.full(84, week / 7))) for week in (30.0, 40.0))
    assert fast.carried_h == pytest.approx(480.0)
    assert fast.utilisation.usual == pytest.approx(40.0)
    assert fast.next_due.middle < slow.next_due.middle
    said = [say(one) for one in fast.remarks]
    assert any(
        "learned from 12 weeks of its meter: 40 in a usual week" in one and "30 entered" in one for one in said
    )


@pytest.mark.parametrize(
    ("seen", "field"),
    [
        ((HoursSeen(READ_ON, 10.0), HoursSeen(READ_ON, 11.0)), "hours seen, day"),
        ((HoursSeen(READ_ON, 10.0), HoursSeen(READ_ON + dt.timedelta(1), 9.0)), "hours seen"),
    ],
)
def test_hours_that_cannot_follow_each_other_are_refused(dossier, seen, field):
    with pytest.raises(NotAllowedError) as refused:
        replace(dossier, hours_seen=seen)
    assert refused.value.problem.field == field
    with pytest.raises(NotAllowedError):
        HoursSeen(READ_ON, -1.0)


def test_machine_file_keeps_them_over_a_change_of_the_meter(dossier, daily_h):
    for changes in ((), (MeterChange(READ_ON + dt.timedelta(30), 3100.0, 0.0),)):
        machine = fed(dossier, daily_h, 3, meter_changes=changes, own_week=True)
        again = machine_from_json(machine_json(machine), "T1.json")
        assert (again.hours_seen, again.own_week) == (machine.hours_seen, True)
