"""Learning in the background: when somebody asks, and each night where the yard's rows have changed."""

import logging
import uuid
from contextlib import suppress

from pitchline.desk.clock import today
from pitchline.desk.learning.actions import came_of, keep_proposal, turn_of
from pitchline.desk.learning.models import LearningTurn
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.worker import Worker
from pitchline.outlook.fleet import ENOUGH_MACHINES
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.writing import writing
from pitchline.words.catalogue import refused

_LOG = logging.getLogger(__name__)


class Learning(Worker):
    """One yard after the other; one that fails says so and holds up no other."""

    name = "learning"
    limit_s = 3600.0

    def work(self) -> None:
        """Nothing comes out; afterwards every yard that asked has learned, and every yard was looked at today."""
        self.work_here()
        for business in Business.objects.all():
            turn = turn_of(business)
            if turn.looked_on is None:  # the first night is the coming one
                LearningTurn.objects.filter(pk=turn.pk, looked_on=None).update(looked_on=today())
            elif turn.looked_on < today():
                self._learn(turn)

    def work_here(self) -> None:
        """Those who wait for it."""
        for turn in LearningTurn.objects.exclude(asked_at=None).select_related("business"):
            self._learn(turn)

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; whoever asked is told why."""
        for turn in LearningTurn.objects.filter(business=uuid.UUID(what)):
            came_of(turn, {"failed": why})

    def _learn(self, turn: LearningTurn) -> None:
        with self.at(turn.business_id) as mine, writing(turn.business.writing):
            if not mine:
                return
            try:
                learn_now(turn, lambda *_: self.goes_on(turn.business_id))
            except (InputError, NotAllowedError) as error:
                problems = error.problems if isinstance(error, InputError) else (error.problem,)
                came_of(turn, {"failed": " ".join(refused(problem) for problem in problems[:5])})
            except Exception:
                _LOG.exception("learning from yard %s failed", turn.business_id)
                with suppress(LearningTurn.DoesNotExist):
                    came_of(turn, {"failed": ""})


def learn_now(turn: LearningTurn, report: object) -> None:
    """Nothing comes out; what the yard teaches stands there as a proposal, or why there is none."""
    from pitchline.desk.learning import (
        learn,
        tables,
    )  # numpy's tables are loaded where they are needed, not by every page

    rows = tables.yard_rows(turn.business)
    if rows.machines_read < ENOUGH_MACHINES:
        came_of(turn, {"few": rows.machines_read})
        return
    digest = learn.digest_of_rows(rows)
    if digest == turn.learned_from:
        came_of(turn, turn.came | {"same": True}, digest)
        return
    who = turn.asked_by if turn.asked_at is not None else Actor(turn.business).name
    row = keep_proposal(turn.business, learn.learned_row(rows, report), who)  # type: ignore[arg-type]
    came_of(turn, {"learned": str(row.pk)}, digest)


WORKER = Learning()
