"""Writing and telling of feeds: where hours are fetched from."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from pitchline.desk.meter.models import Feed
from pitchline.desk.meter.sealed import sealed
from pitchline.desk.people.who import Actor
from pitchline.desk.posts import Post, switch
from pitchline.desk.spoken import later
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words import counted, translated

COLUMNS = ("name", "address", "sign_in", "user", "token_address", "every_h")
_FAILED = {
    "address": later("its address cannot be used"),
    "elsewhere": later("its next page leads to another host, {seen}: nothing was sent there"),
    "private": later(
        "its address leads into a network of this computer’s own ({seen}), which is not allowed here"
    ),
    "large": later("its answer is larger than 20 MB"),
    "slow": later("its answer took too long"),
    "unreached": later("it could not be reached ({seen})"),
    "sign-in": later("it did not let us in ({seen}): look at name, password, token or secret"),
    "answer": later("it answered {seen}"),
    "unread": later("its answer could not be read. {seen}"),
    "key": later("the desk’s own key is another by now: make a new secret"),
    "desk": later("the desk failed on it, its log says why"),
}


class Off(Post):
    """No longer fetched, or again."""

    stopped = switch(later("no longer fetched"))


@dataclass(frozen=True, slots=True)
class ShownFeed:
    """A feed as its page tells it."""

    feed: Feed
    said: str
    is_failing: bool


def shown(feed: Feed) -> ShownFeed:
    """What the last try came to, in words."""
    told: dict[str, Any] = feed.said
    if "failed" in told:
        return ShownFeed(feed, failed_said(told), True)
    if "taken" not in told:
        return ShownFeed(feed, translated("not fetched yet"), False)
    return ShownFeed(feed, counts_said(told), False)


def failed_said(told: Mapping[str, Any]) -> str:
    """Why a try failed, in words."""
    return str(_FAILED.get(str(told["failed"]), later("it answered {seen}"))).format(seen=told.get("seen", ""))


def counts_said(told: Mapping[str, int]) -> str:
    """What became of some readings of hours: those taken in, and whatever else there is."""
    number = {name: told.get(name, 0) for name in ("taken", "known", "asked", "waiting", "left_out")}
    said = {
        "taken": counted("{n} reading taken in", "{n} readings taken in", number["taken"]),
        "known": translated("{n} known before"),
        "asked": translated("{n} to be asked about"),
        "waiting": counted(
            "{n} of a machine nobody knows yet", "{n} of machines nobody knows yet", number["waiting"]
        ),
        "left_out": translated("{n} that cannot be used"),
    }
    return ", ".join(
        words.format(n=as_figure(number[name], ",.0f"))
        for name, words in said.items()
        if number[name] or name == "taken"
    )


def keep_feed(actor: Actor, *, feed_id: uuid.UUID, typed: dict[str, Any]) -> bool:
    """Whether it was written; not where somebody else changed it meanwhile. It is fetched at once."""
    columns = {name: typed[name] for name in COLUMNS} | {"next_at": timezone.now(), "failed": 0}
    if typed["secret"] or typed["sign_in"] == Feed.NONE:
        columns["secret_sealed"] = sealed(typed["secret"]) if typed["sign_in"] != Feed.NONE else ""
    with transaction.atomic():
        made = not Feed.objects.filter(pk=feed_id).exists()
        if made:
            Feed.objects.create(pk=feed_id, business=actor.business, who=actor.name, **columns)
        elif not Feed.objects.filter(pk=feed_id, business=actor.business, version=typed["seen_version"]).update(
            version=F("version") + 1, **columns
        ):
            return False
        note(actor, None, [Told(phrase("hours are fetched from"), "", f"{typed['name']}, {typed['address']}")])
    return True


def switch_feed(actor: Actor, feed: Feed, *, is_off: bool) -> None:
    """Nothing comes out; it is no longer fetched, or fetched again."""
    with transaction.atomic():
        Feed.objects.filter(pk=feed.pk).update(is_off=is_off, next_at=timezone.now(), version=F("version") + 1)
        what = phrase("hours are no longer fetched from") if is_off else phrase("hours are fetched from")
        note(actor, None, [Told(what, "", feed.name)])


def fetch_soon(feed: Feed) -> None:
    """Nothing comes out; its time has come now."""
    Feed.objects.filter(pk=feed.pk).update(next_at=timezone.now())
