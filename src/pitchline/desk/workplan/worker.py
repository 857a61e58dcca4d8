"""One thread that works plans out, so that no page waits for one."""

import uuid

from pitchline.desk.worker import Worker
from pitchline.desk.workplan.actions import leave_plan, take_up_again, work_out_waiting
from pitchline.words import translated


class Planner(Worker):
    """Works out what is waiting; a plan begun when the desk was stopped is begun again."""

    name = "planning"
    limit_s = 3600.0

    def __init__(self) -> None:
        super().__init__()
        self._taken_up = False

    def work(self) -> None:
        """Nothing comes out; afterwards no plan is waiting."""
        if not self._taken_up:
            take_up_again()
            self._taken_up = True
        work_out_waiting(self.at)

    def work_here(self) -> None:
        """Work out what is waiting; what another process began is left to it."""
        work_out_waiting()

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; the plan says why it is not worked out."""
        leave_plan(
            uuid.UUID(what),
            translated("Working it out {why}. Ask for fewer hours, or for it again.").format(why=why),
        )


PLANNER = Planner()


def plan_soon() -> None:
    """Nothing comes out; what waits is worked out in the background, or here and now where no worker runs."""
    PLANNER.soon()
