"""When a piece comes again: by how well it went each time, as the scheduler of spaced repetition has it."""

import datetime as dt
from enum import StrEnum
from typing import Any, cast

from fsrs import Card, Rating, Scheduler

_SCHEDULER = Scheduler(enable_fuzzing=False)
"""As it comes, remembered nine times in ten, but without chance: the same answers give the same day."""


class Grade(StrEnum):
    """How an answer went."""

    RIGHT = "right"
    NEAR = "near"
    WRONG = "wrong"

    @property
    def is_right(self) -> bool:
        """Whether it counts as right: near does, and comes again sooner."""
        return self is not Grade.WRONG


_RATED = {Grade.RIGHT: Rating.Good, Grade.NEAR: Rating.Hard, Grade.WRONG: Rating.Again}


def after(
    card: dict[str, Any] | None, grade: Grade, now: dt.datetime
) -> tuple[dict[str, Any], dt.datetime, float]:
    """What to keep, when it comes again, and for how many days it would be remembered.

    Parameters
    ----------
    card : dict or None
        What was kept; None the first time.
    grade : Grade
        How it went.
    now : datetime.datetime
        The moment of the answer, in UTC.

    Returns
    -------
    tuple of (dict, datetime.datetime, float)
        The days are those after which nine in ten would still know it.
    """
    known = Card.from_dict(cast(Any, card)) if card else Card(card_id=1, due=now)
    kept, _ = _SCHEDULER.review_card(known, _RATED[grade], now)
    return cast(dict[str, Any], kept.to_dict()), kept.due, kept.stability or 0.0
