"""Fetching hours from a feed: page after page, each taken as it comes, tried again later where it failed."""

import datetime as dt

from django.db import transaction

from pitchline.desk.meter.actions import Taken, take_hours
from pitchline.desk.meter.fetching import FetchError, SignIn, checked_address, fetched, headers_for, joined
from pitchline.desk.meter.models import Feed
from pitchline.desk.meter.sealed import opened
from pitchline.desk.people.who import Actor
from pitchline.exchange.iso_15143 import read_feed
from pitchline.trade.errors import InputError
from pitchline.words.catalogue import refused

MOST_PAGES = 500
_FIRST_WAIT, _LONGEST_WAIT = dt.timedelta(minutes=5), dt.timedelta(hours=24)
"""After a failure it is tried again in five minutes, then in ten, at most a day later. Our own choice."""
_ACCEPT = {"Accept": "application/json, application/xml;q=0.9"}


def due(now: dt.datetime) -> list[Feed]:
    """Feeds whose time has come, the longest waiting first."""
    return list(Feed.objects.filter(is_off=False, next_at__lte=now).select_related("business").order_by("next_at"))


def pull(feed: Feed, now: dt.datetime) -> None:
    """Nothing comes out; afterwards the feed's hours are in, or the feed says why not and when it is tried again."""
    came, pages, said = Taken(), 0, dict[str, object]()
    try:
        pages, left_out = _pages(feed, came)
        said = {"pages": pages, "left_out": left_out, **came.told}
        failed, wait = 0, dt.timedelta(hours=feed.every_h)
    except FetchError as error:
        failed = feed.failed + 1
        said = {"failed": error.why, "seen": error.seen, **came.told}
        wait = (
            min(_LONGEST_WAIT, _FIRST_WAIT * 2 ** min(failed - 1, 10))
            if error.passing
            else dt.timedelta(hours=feed.every_h)
        )
        if error.again_in_s is not None:
            wait = max(wait, min(_LONGEST_WAIT, dt.timedelta(seconds=error.again_in_s)))
    except InputError as error:
        failed, wait = feed.failed + 1, dt.timedelta(hours=feed.every_h)
        said = {"failed": "unread", "seen": refused(error.problems[0])[:300], **came.told}
    with transaction.atomic():
        done = {"fetched_at": now} if not failed else {}
        Feed.objects.filter(pk=feed.pk, version=feed.version).update(
            said=said, failed=failed, tried_at=now, next_at=now + wait, **done
        )


def _pages(feed: Feed, came: Taken) -> tuple[int, int]:
    """How many pages there were, and rows that could not be used."""
    actor, sign_in = (
        Actor(feed.business, feed.name),
        SignIn(feed.sign_in, feed.user, opened(feed.secret_sealed), feed.token_address),
    )
    address, headers, met, left_out = checked_address(feed.address), headers_for(sign_in), set[str](), 0
    while address and address not in met and len(met) < MOST_PAGES:
        met.add(address)
        page = read_feed(fetched(address, _ACCEPT | headers), feed.name)
        left_out += len(page.left_out)
        some = take_hours(actor, page.rows, feed.name, judge=False)
        for name, count in some.told.items():
            setattr(came, name, getattr(came, name) + count)
        address = joined(address, page.next_href) if page.next_href else ""
    return len(met), left_out
