"""Lists of machines, read and brought in by the background: what waits stands in rows, and survives a stop of the desk."""

import json
import logging
import time
import uuid
from contextlib import suppress
from pathlib import Path

from django.conf import settings

from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import Actor
from pitchline.desk.worker import Worker
from pitchline.desk.yard.lists import ChangedMeanwhileError, apply_list, read_list
from pitchline.desk.yard.models import MachineList
from pitchline.trade.writing import writing

PATIENCE_S = 0.8
"""How long a page waits before it shows progress instead."""
_TELL_EVERY_S = 0.25
_LOG = logging.getLogger(__name__)


class Progress:
    """How many rows of a list are done: in a file, for the database shows nobody what is not written yet."""

    def __init__(self, list_id: uuid.UUID) -> None:
        folder: Path = settings.MADE_HERE / "work"
        folder.mkdir(mode=0o700, exist_ok=True)
        self._path, self._told_at = folder / f"{list_id}.json", 0.0

    def tell(self, done: int, of: int) -> None:
        """Whoever looks is told, a few times a second at most."""
        if time.monotonic() - self._told_at > _TELL_EVERY_S:
            self._told_at = time.monotonic()
            fresh = self._path.with_suffix(".new")
            fresh.write_text(json.dumps([done, of]), encoding="utf-8")
            with suppress(PermissionError):  # somebody looks just now, on Windows: told the next time
                fresh.replace(self._path)

    def look(self) -> tuple[int, int]:
        """Done, and of how many; 0 of 0 where nothing is told."""
        try:
            done, of = json.loads(self._path.read_text(encoding="utf-8"))
        except (FileNotFoundError, PermissionError, ValueError):
            return 0, 0
        return done, of

    def end(self) -> None:
        """Nothing is told any more."""
        with suppress(PermissionError):  # somebody looks just now, on Windows; nobody looks once the list is done
            self._path.unlink(missing_ok=True)


class ListKeeper(Worker):
    """Reads and brings in what waits, one list after the other; one that fails on our side says so and holds up no other."""

    name = "lists"

    def work(self) -> None:
        """Nothing comes out; afterwards no list waits."""
        for one in MachineList.objects.filter(state__in=MachineList.AT_WORK).order_by("at"):
            progress = Progress(one.pk)
            try:
                with self.at(one.pk), writing(one.business.writing):
                    self._take(one, progress)
            except Exception:
                _LOG.exception("the list %s failed", one.pk)
                _put_back(one)
            finally:
                progress.end()

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; the list is as if reading it or bringing it in had failed."""
        for one in MachineList.objects.filter(pk=what, state__in=MachineList.AT_WORK):
            _LOG.error("the list %s %s", one.pk, why)
            _put_back(one)
            Progress(one.pk).end()

    def _take(self, one: MachineList, progress: Progress) -> None:
        if one.state == MachineList.READING:
            read_list(one)
            return

        def told(done: int, of: int) -> None:
            progress.tell(done, of)
            self.goes_on(one.pk)

        with suppress(ChangedMeanwhileError):  # the list's page says so
            apply_list(Actor(one.business, one.who_applied), list_id=one.pk, told=told)
        judge_soon()


def _put_back(one: MachineList) -> None:
    back = MachineList.REFUSED if one.state == MachineList.READING else MachineList.SHOWN
    MachineList.objects.filter(pk=one.pk, state=one.state).update(state=back, failed=True)


LISTS = ListKeeper()


def at_work(one: MachineList) -> bool:
    """Whether a list is still read or brought in, after a moment's patience."""
    LISTS.soon()
    end = time.monotonic() + PATIENCE_S
    while (waits := MachineList.objects.filter(pk=one.pk, state__in=MachineList.AT_WORK).exists()) and LISTS.alive:
        if time.monotonic() > end:
            break
        time.sleep(0.03)
    return waits
