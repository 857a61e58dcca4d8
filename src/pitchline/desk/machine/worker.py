"""Judging in the background, so that no page waits for a whole yard."""

import datetime as dt
import logging
import uuid

from django.db.models import F
from django.dispatch import Signal

from pitchline.desk.clock import today
from pitchline.desk.machine.judged_pages import draw, is_drawn
from pitchline.desk.machine.judging import judge_here, judge_waiting, leave_unjudged, outdated, still_outdated
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.prices import newest_prices
from pitchline.desk.spoken import later
from pitchline.desk.worker import Worker
from pitchline.trade.errors import InputError, NotAllowedError

LEFT = later("judging it {why}; it is tried again when something of it changes, and after an upgrade")
_DRAWING = "drawing "
_LOG = logging.getLogger(__name__)


class Judging(Worker):
    """Judges what is marked, then what is outdated, and draws both; then draws what is not drawn.

    What is marked goes first, however much else there is to do.
    """

    name = "judging"
    is_shared = True

    def __init__(self) -> None:
        super().__init__()
        self._undrawn: list[uuid.UUID] | None = None
        self._failed: dict[uuid.UUID, dt.date] = {}

    def work(self) -> None:
        """Nothing comes out; afterwards nothing waits; and all are judged for today and drawn, unless somebody rang."""
        try:
            judge_waiting(self._draw_new, self.at)
        finally:
            self._judge_for_today()
            self._draw()

    def work_here(self) -> None:
        """Judge what is marked; nothing is drawn ahead of whoever asks for it."""
        judge_waiting()

    def _judge_for_today(self) -> None:
        """One machine after the other, until somebody rings; one that fails is not tried again on the same day."""
        self._failed = {pk: day for pk, day in self._failed.items() if day == today()}
        for machine_id in outdated():
            if self.is_rung:
                return
            with self.at(machine_id) as mine:
                if not mine or machine_id in self._failed or (machine := still_outdated(machine_id)) is None:
                    continue
                try:
                    judge_here(machine, self._draw_new)
                except Exception:  # the others are still judged
                    _LOG.exception("%s could not be judged for today", machine_id)
                    self._failed[machine_id] = today()

    def _draw_new(self, machine: Machine, judgement: Judgement) -> None:
        self.goes_on(f"{_DRAWING}{machine.pk}")
        draw_new(machine, judgement)

    def _draw(self) -> None:
        if self._undrawn is None:
            self._undrawn = undrawn()
        while self._undrawn and not self.is_rung:
            with self.at(f"{_DRAWING}{(machine_id := self._undrawn.pop())}") as mine:
                if mine:
                    draw_again(machine_id)

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; the machine's page and the list say why it is not judged. Not drawn ahead, a page draws itself."""
        machine = None if what.startswith(_DRAWING) else Machine.objects.filter(pk=what).first()
        if machine is not None:
            leave_unjudged(machine, LEFT.format(why=why))


drawn = Signal()
"""A machine's page was drawn ahead; `machine` says whose. Other apps make ready what they show of it."""


def draw_new(machine: Machine, judgement: Judgement) -> None:
    """Nothing comes out; afterwards the page that shows a new judgement finds it drawn."""
    draw(machine, judgement, newest_prices(machine.business) is not None)
    drawn.send(Machine, machine=machine)


def undrawn() -> list[uuid.UUID]:
    """Judged machines whose page finds nothing drawn, in the order in which the yard shows them, the first one last."""
    judged = Machine.objects.filter(judgement__isnull=False, archived_at=None).select_related("business")
    shown = judged.only("judgement_id", "business").order_by("call_rank", F("due_middle_h").desc(nulls_first=True))
    priced: dict[uuid.UUID, bool] = {}
    found = []
    for machine in shown.iterator():
        if machine.business_id not in priced:
            priced[machine.business_id] = newest_prices(machine.business) is not None
        if not is_drawn(machine, priced[machine.business_id]):
            found.append(machine.pk)
    return found


def draw_again(machine_id: uuid.UUID) -> None:
    """Nothing comes out; afterwards the machine's page finds its newest judgement drawn, if it still has one."""
    machine = Machine.objects.select_related("business", "judgement").filter(pk=machine_id).first()
    if machine is None or machine.judgement is None:
        return
    try:
        draw_new(machine, machine.judgement)
    except (InputError, NotAllowedError):  # its own page says so to whoever opens it; the others are still drawn
        _LOG.exception("the page of %s could not be drawn ahead", machine.pk)


WORKER = Judging()


def judge_soon() -> None:
    """Nothing comes out; what is marked is judged in the background, or here and now where nobody is hired for it."""
    WORKER.soon()
