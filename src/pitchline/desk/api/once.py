"""A write sent twice is done once, by the key its sender gave it; also when both arrive together.

The key's row is written before the work begins, and the database lets one writer have it. Whoever comes second waits for
the answer and gives the same one. A refused request has done nothing, so its key is free again. An answer is kept for a week;
after that, and where the desk was killed between work and answer, the desk's own actions see that the work is done already.
"""

import datetime as dt
import hashlib
import time
import uuid
from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from pitchline.desk.api.models import Answered
from pitchline.desk.api.refused import RefusedError
from pitchline.desk.people.who import Actor
from pitchline.trade.errors import Problem
from pitchline.words import translated

HEADER = "Idempotency-Key"
KEPT = dt.timedelta(days=7)
GIVEN_UP = dt.timedelta(minutes=2)
WAIT_S, LOOK_EVERY_S = 20.0, 0.05


def key_of(request: HttpRequest) -> uuid.UUID:
    """The key of a write.

    Raises
    ------
    RefusedError
        There is none, or it is no UUID.
    """
    text = request.headers.get(HEADER, "")
    try:
        if len(text) == 36:
            return uuid.UUID(text)
    except ValueError:
        pass
    step = translated(
        "Make a new UUID for each thing you want done, and send the same one again when you are not sure it arrived."
    )
    raise RefusedError(400, Problem(HEADER, text or "nothing", "a UUID in its long form", step))


def _digest(actor: Actor, request: HttpRequest) -> str:
    """Of what was asked and by whom: an answer kept for one person is not for another, who may see less."""
    asked = "\n".join((actor.name, request.method or "", request.get_full_path(), request.content_type or "", ""))
    return hashlib.sha256(asked.encode() + request.body).hexdigest()


def once(actor: Actor, request: HttpRequest, work: Callable[[], HttpResponse]) -> HttpResponse:
    """The answer of the work, done now or before.

    Raises
    ------
    RefusedError
        422 where the key was used for something else, 409 where the first is still under way.
    """
    key, digest = key_of(request), _digest(actor, request)
    until = time.monotonic() + WAIT_S
    while not _taken(actor, key, digest):
        known = Answered.objects.filter(business=actor.business, key=key).first()
        if known is not None and known.digest != digest:
            step = translated("Make a new UUID for this one.")
            raise RefusedError(422, Problem(HEADER, str(key), "a key not used for anything else", step))
        if known is not None and known.status is not None:
            return _again(known)
        if time.monotonic() > until:
            problem = Problem(HEADER, str(key), "a key whose work is done", "Ask again with the same key.")
            raise RefusedError(409, problem, wait_s=5)
        time.sleep(LOOK_EVERY_S)
    row = Answered.objects.filter(business=actor.business, key=key)
    try:
        response = work()
    except BaseException:
        row.delete()
        raise
    if 200 <= response.status_code < 300:
        kind = response.headers.get("Content-Type", "")
        content = getattr(request, "kept_answer", response.content)
        row.update(status=response.status_code, content=content, content_type=kind)
    else:
        row.delete()
    return response


def _taken(actor: Actor, key: uuid.UUID, digest: str) -> bool:
    """Whether the work is ours to do now."""
    now = timezone.now()
    row = {"digest": digest, "begun_at": now}
    try:
        with transaction.atomic():
            Answered.objects.filter(begun_at__lt=now - KEPT).delete()
            Answered.objects.create(business=actor.business, key=key, **row)
        return True
    except IntegrityError:
        left = Answered.objects.filter(business=actor.business, key=key, status=None, digest=digest)
        return left.filter(begun_at__lt=now - GIVEN_UP).update(**row) == 1


def _again(known: Answered) -> HttpResponse:
    response = HttpResponse(bytes(known.content), status=known.status, content_type=known.content_type)
    response.headers["Idempotent-Replay"] = "true"
    return response
