"""A zero byte in what somebody sent: no database keeps it and no keyboard types it, so it is refused before any page reads it."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse

from pitchline.desk.problems import refused_page
from pitchline.trade.errors import Problem

ZERO = "\x00"


class ZeroByteMiddleware:
    """Refuses addresses and fields with a zero byte; the API's own door and its shapes look at what the API is sent."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer, unchanged."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: object, args: object, kwargs: Mapping[str, Any]
    ) -> HttpResponse | None:
        """A refusal that names every such field; None where there is none."""
        if ZERO in request.path:
            raise Http404("No address has a zero byte in it.")
        if request.path.startswith("/api/"):
            return None
        problems = tuple(_problems(request))
        if not problems:
            return None
        return refused_page(request, problems)


def _problems(request: HttpRequest) -> Iterator[Problem]:
    for sent in (request.GET, request.POST):
        for name, texts in sent.lists():
            for text in (name, *texts):
                if ZERO in text:
                    seen = text.replace(ZERO, "\\0")[:60]
                    yield Problem(
                        name.replace(ZERO, "\\0")[:60], seen, "text without a zero byte", "Type it again."
                    )
