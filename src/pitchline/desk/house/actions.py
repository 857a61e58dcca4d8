"""Writing the settings: the actor first, optimistic, every change in the trail."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass

from django.db import transaction
from django.db.models import F

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase
from pitchline.words import in_english

MOVES_FIGURES = ("booking_window_weeks", "tools")
"""Settings that go into the figures of a judgement; what was judged before stays as it was."""
TOLD_IN_VERDICTS = ("units", "numbers", "days", "language", *MOVES_FIGURES)
"""Settings after which every machine is judged anew: a verdict's reasons name sizes, figures and days, in a language."""
WORDS = {
    "units": in_english("units"),
    "numbers": in_english("how numbers look"),
    "days": in_english("how days look"),
    "language": in_english("language"),
    "booking_window_weeks": in_english("booking window, weeks"),
    "tools": in_english("tools"),
    "paper_name": in_english("name on papers"),
}


class SettingsChangedError(Exception):
    """Somebody else changed the settings meanwhile; theirs stand."""

    def __init__(self, now: Business) -> None:
        self.now = now
        super().__init__("changed meanwhile")


@dataclass(frozen=True, slots=True)
class Changed:
    """What a saving did.

    Parameters
    ----------
    anything : bool
        Whether anything is different now.
    judging : bool
        Whether every machine is judged anew.
    figures : bool
        Whether a call, an hour or an amount may move by it, not only how it is told.
    units : bool
        Whether sizes are told in other units.
    language : bool
        Whether everything is said in another language.
    """

    anything: bool
    judging: bool
    figures: bool = False
    units: bool = False
    language: bool = False


def change_settings(actor: Actor, *, seen_version: int, settings: Mapping[str, object]) -> Changed:
    """What was changed; machines are marked for judging where a figure of theirs moves.

    Raises
    ------
    SettingsChangedError
        The settings are no longer as they were when the form was opened.
    """
    business = Business.objects.get(pk=actor.business.pk)
    changes = {name: wanted for name, wanted in settings.items() if getattr(business, name) != wanted}
    if not changes:
        return Changed(False, False)
    told = [
        Told(phrase(WORDS[name]), said(getattr(business, name)), said(wanted)) for name, wanted in changes.items()
    ]
    with transaction.atomic():
        _write(business, seen_version, **changes)
        judging = any(name in TOLD_IN_VERDICTS for name in changes)
        if judging:
            Machine.objects.filter(business=business).update(to_judge=True, marked=F("marked") + 1)
        note(actor, None, told)
    figures = any(name in MOVES_FIGURES for name in changes)
    return Changed(True, judging, figures, "units" in changes, "language" in changes)


def said(setting: object) -> str:
    """A setting for the trail."""
    if isinstance(setting, list):
        return "; ".join(", ".join(str(each).replace("_", " ") for each in row.values()) for row in setting)
    return "" if setting is None else str(setting)


def _write(business: Business, seen_version: int, **changes: object) -> None:
    written = Business.objects.filter(pk=business.pk, version=seen_version).update(
        version=F("version") + 1, **changes
    )
    if written != 1:
        raise SettingsChangedError(Business.objects.get(pk=business.pk))


def renew_feed(actor: Actor) -> str:
    """The new secret of the calendar feed; addresses given out before lead nowhere from now on."""
    return _set_feed(actor, secrets.token_urlsafe(32), phrase("calendar feed renewed"))


def switch_feed_off(actor: Actor) -> None:
    """Nothing comes out; afterwards no address of the feed leads anywhere. Twice is harmless."""
    if Business.objects.get(pk=actor.business.pk).feed_secret:
        _set_feed(actor, "", phrase("calendar feed switched off"))


def _set_feed(actor: Actor, secret: str, what: str) -> str:
    with transaction.atomic():
        Business.objects.filter(pk=actor.business.pk).update(feed_secret=secret)
        note(actor, None, [Told(what)])
    return secret
