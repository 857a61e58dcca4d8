"""The one door to the API: who asks, what may be sent, once only, and every refusal in one shape."""

import logging
from collections.abc import Callable
from typing import Any

from django.core.exceptions import RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpResponse
from django.http.request import UnreadablePostError

from pitchline.desk.api.once import once
from pitchline.desk.api.reach import SAFE, who_asks
from pitchline.desk.api.refused import RefusedError, not_found, refusal
from pitchline.desk.people.rights import OPERATIONS, RIGHTS
from pitchline.desk.people.who import Actor, DeskRequest, asked_by
from pitchline.desk.trouble import trouble_of
from pitchline.trade.errors import Problem
from pitchline.trade.writing import writing
from pitchline.words import translated

View = Callable[..., HttpResponse]
Kinds = dict[str, tuple[str, ...]]
"""Methods of one address, each with the kinds of content it takes."""
_LOG = logging.getLogger(__name__)


def door(view: View, kinds: Kinds, operations: dict[str, str]) -> View:
    """The view, behind the door; `operations` names what each method asks for."""

    def enter(request: DeskRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = _guarded(request, lambda: _inside(request, view, kinds, operations, args, kwargs))
        response.headers["Cache-Control"] = "private, no-store"
        return response

    enter.csrf_exempt = True  # type: ignore[attr-defined]  # checked in `reach`, where it applies
    enter.login_required = False  # type: ignore[attr-defined]  # `reach` answers in JSON, without a way to the sign-in page
    return enter


def _guarded(request: DeskRequest, work: Callable[[], HttpResponse]) -> HttpResponse:
    """The answer, or the refusal in our shape."""
    try:
        return work()
    except RefusedError as error:
        return refusal(error)
    except Http404 as error:
        return refusal(not_found(str(error)))
    except RequestDataTooBig:
        seen = translated("{n} bytes").format(n=request.headers.get("Content-Length") or translated("too many"))
        return refusal(RefusedError(413, Problem("body", seen, "up to 10 MB", "Send less at a time.")))
    except (SuspiciousOperation, UnreadablePostError) as error:
        problem = Problem("request", type(error).__name__, "an ordinary request", "Send it again.")
        return refusal(RefusedError(400, problem))
    except Exception as error:
        _LOG.exception("an error of the desk's own at %s", request.path)
        problem = Problem(
            "desk",
            trouble_of(error) or translated("an error of its own"),
            "none",
            "Try again; whoever keeps the desk finds it in its log.",
        )
        return refusal(RefusedError(500, problem))


def _inside(
    request: DeskRequest, view: View, kinds: Kinds, operations: dict[str, str], args: Any, kwargs: Any
) -> HttpResponse:
    method = request.method or ""
    if method not in kinds:
        response = refusal(RefusedError(405, Problem("method", method, ", ".join(kinds), "Look in /api/v1/docs.")))
        response.headers["Allow"] = ", ".join(kinds)
        return response
    actor = who_asks(request)
    request.actor = actor
    with writing(actor.business.writing), asked_by(actor):
        _check_right(actor, operations[method])
        return _asked(request, actor, view, kinds, args, kwargs)


def _check_right(actor: Actor, operation: str) -> None:
    right = OPERATIONS[operation]
    if right not in actor.rights:
        allowed = translated("somebody who may: {right}").format(right=translated(RIGHTS[right]))
        step = translated("Ask an owner of the yard.")
        raise RefusedError(403, Problem("person", actor.name, allowed, step))


def _asked(request: DeskRequest, actor: Actor, view: View, kinds: Kinds, args: Any, kwargs: Any) -> HttpResponse:
    method = request.method or ""
    if method in SAFE:
        return view(request, *args, **kwargs)
    if (request.content_type or "").lower() not in kinds[method]:
        allowed = " or ".join(kinds[method])
        raise RefusedError(
            415, Problem("Content-Type", request.content_type or "nothing", allowed, "Name what you send.")
        )
    return once(actor, request, lambda: _guarded(request, lambda: view(request, *args, **kwargs)))
