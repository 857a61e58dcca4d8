"""One thread that works plans out, so that no page waits for one."""

from pitchline.desk.machine.worker import Worker
from pitchline.desk.workplan.actions import take_up_again, work_out_waiting


class Planner(Worker):
    """Works out what is waiting; a plan begun when the desk was stopped is begun again."""

    name = "planning"

    def start(self) -> None:
        """Begin, with whatever an earlier run left."""
        take_up_again()
        super().start()

    def work(self) -> None:
        """Nothing comes out; afterwards no plan is waiting."""
        work_out_waiting()


PLANNER = Planner()


def plan_soon() -> None:
    """Nothing comes out; what waits is worked out in the background, or here and now where no worker runs."""
    if not PLANNER.wake():
        work_out_waiting()
