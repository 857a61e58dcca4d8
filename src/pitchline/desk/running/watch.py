"""Every request counted, timed, and told in the log: with its id and person, by the name of its address, never with a secret."""

import contextvars
import logging
import re
import time
import uuid
from collections.abc import Callable
from functools import cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse

_ASKED: contextvars.ContextVar[HttpRequest | None] = contextvars.ContextVar("asked", default=None)
_SECRETS = re.compile(r"[\w-]{40,}|(?<=Bearer )\S+")
"""Tokens and what leads to a feed have 43 letters; ids of machines have 36."""
_LOG = logging.getLogger("pitchline.requests")


@cache
def counters() -> tuple[Any, Any]:
    """How many requests, and how long they took; made once in each process, and only where somebody counts."""
    from prometheus_client import Counter, Histogram

    asked = Counter("pitchline_requests", "Requests answered.", ("address", "method", "status"))
    return asked, Histogram("pitchline_request_seconds", "How long answers took.", ("address",))


class WatchedMiddleware:
    """Around everything else."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer, with the id by which the log tells of it."""
        request.log_id = uuid.uuid4().hex[:12]  # type: ignore[attr-defined]
        mark, began = _ASKED.set(request), time.perf_counter()
        try:
            response = self.get_response(request)
            took_s = time.perf_counter() - began
            match = request.resolver_match
            address = (match.view_name or match.func.__name__) if match else "none"
            if settings.METRICS:
                asked, seconds = counters()
                asked.labels(address, request.method, str(response.status_code)).inc()
                seconds.labels(address).observe(took_s)
            told = {
                "address": address,
                "method": request.method,
                "status": response.status_code,
                "ms": round(took_s * 1e3),
            }
            _LOG.info("%s %s %s in %s ms", request.method, address, told["status"], told["ms"], extra=told)
        finally:
            _ASKED.reset(mark)
        response.headers["X-Request-Id"] = request.log_id  # type: ignore[attr-defined]
        return response


class OfRequest(logging.Filter):
    """Puts request and person on each line, and takes out what nobody may read there."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always True."""
        request = _ASKED.get()
        actor = getattr(request, "actor", None)
        record.request_id = getattr(request, "log_id", "-")
        record.person = (actor.name if actor is not None else "") or "-"
        record.msg, record.args = _SECRETS.sub("…", record.getMessage()), ()
        record.__dict__.pop("request", None)  # what Django adds: headers and cookies would come with it
        if record.name.startswith("django.security"):
            record.exc_info = None  # a stranger's wrong name for this desk is no error of ours
        return True
