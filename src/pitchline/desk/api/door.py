"""The one door to the API: who asks, what may be sent, once only, as what it was seen as, and every refusal in one shape."""

import copy
import hashlib
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpResponse, QueryDict
from django.http.request import UnreadablePostError

from pitchline.desk.api.near import did_you_mean
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
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Way:
    """What one method of an address asks and takes.

    Parameters
    ----------
    operation : str
        The name of what it asks for.
    kinds : tuple of str
        Kinds of content it takes.
    questions : frozenset of str
        Names that may stand in its address.
    """

    operation: str
    kinds: tuple[str, ...]
    questions: frozenset[str]


class Door:
    """A view behind the door."""

    csrf_exempt = True  # checked in `reach`, where it applies
    login_required = False  # `reach` answers in JSON, without a way to the sign-in page

    def __init__(self, view: View, ways: Mapping[str, Way]) -> None:
        self.view, self.ways = view, ways

    def __call__(self, request: DeskRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """The answer to whoever asks."""
        return self.as_person(request, lambda: who_asks(request), *args, **kwargs)

    def as_person(self, request: DeskRequest, who: Callable[[], Actor], *args: Any, **kwargs: Any) -> HttpResponse:
        """The answer to whoever `who` says it is."""
        response = _guarded(request, lambda: self._inside(request, who, args, kwargs))
        response.headers["Cache-Control"] = "private, no-store"
        return response

    def _inside(self, request: DeskRequest, who: Callable[[], Actor], args: Any, kwargs: Any) -> HttpResponse:
        method = request.method or ""
        way = self.ways.get(method)
        if way is None:
            allowed = ", ".join(self.ways)
            response = refusal(RefusedError(405, Problem("method", method, allowed, "Look in /api/v1/docs.")))
            response.headers["Allow"] = allowed
            return response
        actor = who()
        request.actor = actor
        with writing(actor.business.writing), asked_by(actor):
            _check_right(actor, way.operation)
            _check_questions(request, way)
            if method in SAFE:
                return _unless_known(request, self.view(request, *args, **kwargs))
            _check_kind(request, way)
            return once(actor, request, lambda: _guarded(request, lambda: self._write(request, args, kwargs)))

    def _write(self, request: DeskRequest, args: Any, kwargs: Any) -> HttpResponse:
        """The write, unless what was seen before it no longer stands."""
        wanted = request.headers.get("If-Match")
        if wanted is not None:
            now, tag = copy.copy(request), translated("nothing to compare with at this address")
            now.method, now.GET = "GET", QueryDict()
            if "GET" in self.ways:
                tag = tag_of(self.view(now, *args, **kwargs))
            if not _is_named(wanted, tag):
                step = translated("Look at what is there now, and send your change again with its ETag.")
                raise RefusedError(412, Problem("If-Match", wanted, tag, step))
        return self.view(request, *args, **kwargs)


def tag_of(response: HttpResponse) -> str:
    """The mark of an answer: the same as long as every byte of it is."""
    return f'"{hashlib.sha256(response.content).hexdigest()[:32]}"'


def _is_named(wanted: str, tag: str) -> bool:
    return wanted.strip() == "*" or tag in [one.strip().removeprefix("W/") for one in wanted.split(",")]


def _unless_known(request: DeskRequest, response: HttpResponse) -> HttpResponse:
    """The answer with its mark; 304 and nothing where the sender has it already."""
    if response.status_code != 200:
        return response
    tag, known = tag_of(response), request.headers.get("If-None-Match")
    if known is not None and _is_named(known, tag):
        response = HttpResponse(status=304)
        del response.headers["Content-Type"]
    response.headers["ETag"] = tag
    return response


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


def _check_right(actor: Actor, operation: str) -> None:
    right = OPERATIONS[operation]
    if right not in actor.rights:
        allowed = translated("somebody who may: {right}").format(right=translated(RIGHTS[right]))
        step = translated("Ask an owner of the yard.")
        raise RefusedError(403, Problem("person", actor.name, allowed, step))


def _check_questions(request: DeskRequest, way: Way) -> None:
    """A name in the address that nobody asks for is a slip: answered all the same, it would answer something else."""
    for name, text in request.GET.items():
        if name not in way.questions:
            allowed = ", ".join(sorted(way.questions)) or translated("nothing")
            step = did_you_mean(name, way.questions, "Leave it out.")
            raise RefusedError(422, Problem(f"query.{name}", str(text), allowed, step))


def _check_kind(request: DeskRequest, way: Way) -> None:
    if (request.content_type or "").lower() not in way.kinds:
        allowed = " or ".join(way.kinds)
        raise RefusedError(
            415, Problem("Content-Type", request.content_type or "nothing", allowed, "Name what you send.")
        )
