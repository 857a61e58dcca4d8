"""Somebody forgotten on request: another name stands wherever theirs stood as a name; machines and papers stay readable.

What is made anew (kept answers, pieces of pages, calendar entries) goes. What somebody typed into a note stays as typed: where
the name still stands inside such a text is told, for whoever keeps the yard to look at.
"""

import json
import re
import zlib
from collections.abc import Collection, Iterator
from functools import reduce
from operator import or_
from typing import Any

from django.apps import apps
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import connection, models, transaction
from django.utils import timezone

from pitchline.desk.api.models import Answered, Token
from pitchline.desk.machine.models import Machine
from pitchline.desk.phones.models import Phone
from pitchline.desk.piece_cache import forget_all
from pitchline.desk.telling.models import Digest, Letter
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.workplan.models import FeedPart
from pitchline.trade.errors import NotAllowedError

OF_PERSON = frozenset(
    {
        "who",
        "by",
        "person",
        "let_in_by",
        "ended_by",
        "recorded_by",
        "sent_by",
        "settled_by",
        "who_applied",
        "made_by",
        "used_by",
        "asked_by",
        "called",
    }
)
OF_CUSTOMER = frozenset({"customer", "made_for", "for", "called"})
"""Columns, and keys inside stored JSON, that hold the name of a person, and of a customer."""
SAID: tuple[tuple[type[models.Model], tuple[str, ...]], ...] = (
    (Change, ("what", "before", "after")),
    (Undoable, ("said",)),
)
"""What the desk says itself of something done: a name may stand anywhere in it."""


def erase_person(name: str) -> tuple[str, int]:
    """The name that stands there now, and in how many rows; whoever had the other signs in no more.

    Raises
    ------
    NotAllowedError
        Nobody is called so.
    """
    with transaction.atomic():
        user = User.objects.filter(username=name).first()
        other = _another(name)
        rows = _replaced(name, other, OF_PERSON)
        if user is None and not rows:
            raise NotAllowedError(
                "--person", name, "the name of somebody the yard knows", "Write it as it stands there."
            )
        if user is not None:
            Token.objects.filter(user=user, ended_at=None).update(ended_at=timezone.now())
            Phone.objects.filter(user=user, ended_at=None).update(ended_at=timezone.now())
            Digest.objects.filter(member__user=user).delete()
            Letter.objects.filter(user=user).delete()
            _end_sessions(user)
            for related in (
                user._meta.related_objects
            ):  # what other libraries keep of them: addresses, sessions, second factors
                if not related.related_model.__module__.startswith("pitchline."):
                    related.related_model._base_manager.filter(**{related.field.name: user}).delete()
            user.username, user.first_name, user.last_name, user.email, user.is_active = other, "", "", "", False
            user.set_unusable_password()
            user.save()
        if apps.is_installed("axes"):
            for label in ("AccessAttempt", "AccessFailureLog", "AccessLog"):
                apps.get_model("axes", label).objects.filter(username=name).delete()
    _let_go()
    return other, rows


def erase_customer(name: str) -> tuple[str, int]:
    """The name that stands there now, and in how many rows.

    Raises
    ------
    NotAllowedError
        No customer is called so.
    """
    with transaction.atomic():
        other = _another(name)
        rows = _replaced(name, other, OF_CUSTOMER)
    if not rows:
        raise NotAllowedError(
            "--customer", name, "the name of a customer of the yard", "Write it as it stands there."
        )
    _let_go()
    return other, rows


def still_told(name: str) -> Iterator[tuple[str, int]]:
    """Columns in which the name still stands inside a longer text, and in how many rows."""
    for model in _ours():
        for field in model._meta.concrete_fields:
            if isinstance(field, models.CharField | models.TextField):
                found = model._base_manager.filter(**{f"{field.name}__contains": name})
                texts = found.values_list(field.name, flat=True)
                if many := sum(bool(_word(name).search(text)) for text in texts.iterator(500)):
                    yield f"{model._meta.label}.{field.name}", many


def _ours() -> Iterator[type[models.Model]]:
    return (one for one in apps.get_models() if one.__module__.startswith("pitchline."))


def _word(name: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(name)}(?!\w)")


def _end_sessions(user: User) -> None:
    """Nothing comes out; a session holds the name its person signed in by."""
    if apps.is_installed("allauth.usersessions"):
        kept = apps.get_app_config("usersessions").get_model("UserSession")._base_manager.filter(user=user)
        Session.objects.filter(session_key__in=kept.values("session_key")).delete()


def _let_go() -> None:
    """Nothing comes out; what was overwritten or deleted is no longer in the database's file or in kept pieces of pages."""
    forget_all()
    if not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")


def _another(name: str) -> str:
    taken = set(User.objects.values_list("username", flat=True)) | set(
        Machine.objects.values_list("customer", flat=True)
    )
    number = next(number for number in range(1, len(taken) + 2) if f"somebody-{number}" not in taken)
    return f"somebody-{number}"


def _replaced(name: str, other: str, where: Collection[str]) -> int:
    rows = _said_anew(name, other)
    FeedPart.objects.all().delete()  # made anew when a calendar asks
    kept = Answered.objects.exclude(content=b"").only("pk", "content").iterator(100)
    said = [json.dumps(name, ensure_ascii=each)[1:-1].encode() for each in (True, False)]
    told = [one.pk for one in kept if any(each in bytes(one.content) for each in said)]
    Answered.objects.filter(pk__in=told).delete()
    for model in _ours():
        fields = model._meta.concrete_fields
        for field in fields:
            if field.name in where and isinstance(field, models.CharField | models.TextField):
                rows += model._base_manager.filter(**{field.name: name}).update(**{field.name: other})
        held = [
            one.name
            for one in fields
            if isinstance(one, models.JSONField)
            or one.name in ("file_text", "text", "sent")
            or one.name.endswith("_packed")
        ]
        if held:
            rows += _inside(model, held, name, other, where)
        if model._meta.label == "staff.SignInEvent" and where is OF_PERSON:
            rows += model._base_manager.filter(name=name).update(name=other)
    return rows


def _said_anew(name: str, other: str) -> int:
    """In how many rows the desk itself says the name: with the phrase and its values beside the text."""
    rows, word = 0, _word(name)
    for model, columns in SAID:
        holds = reduce(or_, (models.Q(**{f"{each}__contains": name}) for each in columns))
        for row in model._base_manager.filter(holds).iterator(200):
            texts = {each: word.sub(lambda _: other, getattr(row, each)) for each in columns}
            if all(getattr(row, each) == text for each, text in texts.items()):
                continue
            for each, text in texts.items():
                setattr(row, each, text)
            if isinstance(row, Change):
                row.said = _values_anew(row.said, word, other)
            row.save()
            rows += 1
    return rows


def _values_anew(said: Any, word: re.Pattern[str], other: str) -> Any:
    """A phrase with the name replaced in its values; its English stays."""
    if isinstance(said, dict):
        return {key: one if key == "english" else _values_anew(one, word, other) for key, one in said.items()}
    return word.sub(lambda _: other, said) if isinstance(said, str) else said


def _inside(model: type[models.Model], held: list[str], name: str, other: str, where: Collection[str]) -> int:
    rows = 0
    for row in model._base_manager.only("pk", *held).iterator(100):
        changed = []
        for each in held:
            before = getattr(row, each)
            after = _put(before, name, other, where)
            if after is not None:
                setattr(row, each, after)
                changed.append(each)
        if changed:
            row.save(update_fields=changed)
            rows += 1
    return rows


def _put(stored: Any, name: str, other: str, where: Collection[str]) -> Any:
    """What is stored with the other name in it; None where it does not hold the name."""
    if stored is None or stored == "":
        return None
    if isinstance(stored, bytes | memoryview):
        text = zlib.decompress(bytes(stored)).decode()
        after = _put_text(text, name, other, where)
        return None if after is None else zlib.compress(after.encode())
    if isinstance(stored, str):
        return _put_text(stored, name, other, where)
    text = json.dumps(stored, ensure_ascii=False)
    after = _put_text(text, name, other, where)
    return None if after is None else json.loads(after)


def _put_text(text: str, name: str, other: str, where: Collection[str]) -> str | None:
    """In the text itself, so that all else of it stays to the letter."""
    keys = "|".join(sorted(where))
    spelled = {json.dumps(name), json.dumps(name, ensure_ascii=False)}
    pattern = rf'("(?:{keys})"\s*:\s*)(?:{"|".join(map(re.escape, sorted(spelled)))})(?=\s*[,}}])'
    after, many = re.subn(pattern, lambda found: found[1] + json.dumps(other), text)
    return after if many else None
