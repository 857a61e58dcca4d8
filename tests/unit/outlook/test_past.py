"""The way a part wore so far: against plain conditioning of a joint normal, rate by rate."""

import numpy as np
import pytest

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.outlook.paths import GROUNDS
from pitchline.trade.ground import GroundClass

STEPS, TAIL = (500.0, 400.0, 700.0), 300.0
READ, READ_U = (0.11, 0.25, 0.36), 0.03
START_U, NOISE, SPAN = 0.02, 0.006, 0.05


def hours(figure):
    by_ground = np.zeros(GROUNDS)
    by_ground[GroundClass.MIDDLING] = figure
    return by_ground


def conditioned(rate):
    """Mean and variance at start, readings and now, given the readings: textbook formula of the multivariate normal."""
    grown = rate * np.array([*STEPS, TAIL])
    mean = np.r_[0.0, np.cumsum(grown)]
    steps = np.r_[START_U**2, grown * (NOISE + SPAN**2 * grown)]
    cov = np.cumsum(steps)[np.minimum.outer(np.arange(5), np.arange(5))]
    at = [1, 2, 3]
    gain = cov[:, at] @ np.linalg.inv(cov[np.ix_(at, at)] + READ_U**2 * np.eye(3))
    return mean + gain @ (np.array(READ) - mean[at]), np.diag(cov - gain @ cov[at])


def test_course_of_a_judged_machine_joins_today_and_ends_at_the_limit():
    """Heights at the joints are the verdict's own figures: life used now, and hours to the limit."""
    machine = next(one for one in build_yard().machines if one.with_sheet.walk_rounds[1:])
    verdict = judge(machine.with_sheet, None, None)
    courses = [(one, one.course) for part in verdict.parts for one in part.judged if one.course is not None]
    assert len(courses) > 5
    for judged, course in courses:
        now = verdict.from_service_h
        assert course.past[-1].service_h == pytest.approx(now)
        assert [one.service_h for one in course.past] == sorted(one.service_h for one in course.past)
        for edge, left in (
            (course.cautious, judged.to_limit.cautious),
            (course.middle, judged.to_limit.middle),
            (course.hopeful, judged.to_limit.hopeful),
        ):
            assert edge[0][0] == pytest.approx(now)
            assert edge[-1] == pytest.approx((now + left, judged.limit_m))
        way = 1 if judged.limit_m > judged.new_m else -1
        for one in course.past:
            assert way * one.best_m <= way * one.middle_m <= way * one.worst_m
