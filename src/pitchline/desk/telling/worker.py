"""Sending in the background: digests become letters, letters and deliveries go out. One that fails holds up no other."""

import datetime as dt
import logging
from collections.abc import Callable, Iterable
from typing import Any

from django.utils import timezone

from pitchline.desk.meter.fetching import FetchError
from pitchline.desk.telling import digests, hooks, letters
from pitchline.desk.telling.models import UNKNOWN, Delivery, Digest, Letter
from pitchline.desk.worker import Worker

_LOG = logging.getLogger(__name__)


class Telling(Worker):
    """Looks every half minute what is due."""

    name = "telling"
    limit_s = 120.0

    def work(self) -> None:
        """Nothing comes out; afterwards nothing is due, but what waits behind a failure to the same address."""
        now = timezone.now()
        self._each("digest", digests.due(now), lambda one: digests.make(one, now))
        self._each("letter", letters.due(timezone.now()), self._letter)
        failed: set[Any] = set()

        def one_of(delivery: Delivery) -> None:
            # One failure an address and look: an address that hangs takes its time once, not for all that waits for it.
            if delivery.hook_id not in failed and not hooks.deliver(delivery, timezone.now()):
                failed.add(delivery.hook_id)

        self._each("hook", hooks.due(timezone.now()), one_of)

    @staticmethod
    def _letter(letter: Letter) -> None:
        fresh = Letter.objects.get(pk=letter.pk)
        if fresh.state == letter.state and fresh.tries == letter.tries:
            letters.send(fresh, timezone.now())

    def _each(self, kind: str, rows: Iterable[Any], do: Callable[[Any], None]) -> None:
        for row in rows:
            with self.at(f"{kind} {row.pk}") as mine:
                if mine:
                    try:
                        do(row)
                    except Exception:
                        _LOG.exception("telling: %s %s failed", kind, row.pk)
                        self._put_off(kind, row.pk)

    def _put_off(self, kind: str, row: Any) -> None:
        """Nothing comes out; what the desk itself fails on is not tried every half minute."""
        if kind == "digest":
            later = timezone.now() + dt.timedelta(hours=1)
            Digest.objects.filter(pk=row).update(next_at=later)
        elif kind == "letter":
            Letter.objects.filter(pk=row).update(state=UNKNOWN, text_sealed="")
        else:
            found = Delivery.objects.select_related("hook").filter(pk=row).first()
            if found is not None:
                hooks.fails(found, timezone.now(), FetchError("desk"))

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; whatever hung is put off, and a letter that may have gone out is not sent again."""
        kind, _, row = what.partition(" ")
        self._put_off(kind, row)


WORKER = Telling()
