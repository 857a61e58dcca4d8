"""Fetching hours in the background, each feed at its time."""

import datetime as dt
import logging

from django.utils import timezone

from pitchline.desk.meter.models import Feed
from pitchline.desk.meter.pulling import due, pull
from pitchline.desk.worker import Worker

_LOG = logging.getLogger(__name__)


class Fetching(Worker):
    """Looks every half minute which feeds are due. One that fails holds up no other."""

    name = "hours"
    limit_s = 3600.0

    def work(self) -> None:
        """Nothing comes out; afterwards no feed is due."""
        for feed in due(timezone.now()):
            with self.at(feed.pk) as mine:
                if mine:
                    try:
                        pull(feed, timezone.now())
                    except Exception:
                        _LOG.exception("hours could not be fetched from feed %s", feed.pk)
                        self.gave_up(str(feed.pk), "failed")

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; the feed says so, and is tried again after its usual time."""
        feed = Feed.objects.filter(pk=what).first()
        if feed is not None:
            later = timezone.now() + dt.timedelta(hours=feed.every_h)
            Feed.objects.filter(pk=feed.pk).update(said={"failed": "desk", "seen": why}, next_at=later)


WORKER = Fetching()
