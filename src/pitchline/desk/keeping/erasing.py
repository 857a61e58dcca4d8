"""Somebody forgotten on request: another name stands wherever theirs stood as a name; machines and papers stay readable."""

import json
import re
import zlib
from collections.abc import Collection
from typing import Any

from django.apps import apps
from django.contrib.auth.models import User
from django.db import models, transaction
from django.utils import timezone

from pitchline.desk.api.models import Token
from pitchline.desk.machine.models import Machine
from pitchline.desk.phones.models import Phone
from pitchline.desk.telling.models import Digest, Letter
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
        "called",
    }
)
OF_CUSTOMER = frozenset({"customer", "made_for", "for"})
"""Columns, and keys inside stored JSON, that hold the name of a person, and of a customer."""


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
            for related in (
                user._meta.related_objects
            ):  # what other libraries keep of them: addresses, sessions, second factors
                if not related.related_model.__module__.startswith("pitchline."):
                    related.related_model._base_manager.filter(**{related.field.name: user}).delete()
            user.username, user.first_name, user.last_name, user.email, user.is_active = other, "", "", "", False
            user.set_unusable_password()
            user.save()
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
    return other, rows


def _another(name: str) -> str:
    taken = set(User.objects.values_list("username", flat=True)) | set(
        Machine.objects.values_list("customer", flat=True)
    )
    number = next(number for number in range(1, len(taken) + 2) if f"somebody-{number}" not in taken)
    return f"somebody-{number}"


def _replaced(name: str, other: str, where: Collection[str]) -> int:
    rows = 0
    for model in apps.get_models():
        if not model.__module__.startswith("pitchline."):
            continue
        fields = model._meta.concrete_fields
        for field in fields:
            if field.name in where and isinstance(field, models.CharField | models.TextField):
                rows += model._base_manager.filter(**{field.name: name}).update(**{field.name: other})
        held = [
            one.name
            for one in fields
            if isinstance(one, models.JSONField)
            or one.name in ("file_text", "text")
            or one.name.endswith("_packed")
        ]
        if held:
            rows += _inside(model, held, name, other, where)
        if model._meta.label == "staff.SignInEvent" and where is OF_PERSON:
            rows += model._base_manager.filter(name=name).update(name=other)
        if model._meta.label == "trail.Change" and where is OF_CUSTOMER:
            for side in ("before", "after"):
                rows += model._base_manager.filter(**{"what": "customer", side: name}).update(**{side: other})
    return rows


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
