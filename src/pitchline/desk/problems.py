"""What an error tells, for a page that shows every problem at once."""

from collections.abc import Callable
from dataclasses import replace

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated
from pitchline.words.catalogue import refused, seen_said


def problems_of(error: InputError | NotAllowedError) -> tuple[Problem, ...]:
    """Everything an error tells."""
    return error.problems if isinstance(error, InputError) else (error.problem,)


def in_language(problem: Problem) -> Problem:
    """The same problem with what is ours of it in the language in force; what was typed stays as it was typed."""
    texts = (problem.field, problem.allowed, problem.next_step)
    field, allowed, step = (translated(one if isinstance(one, str) else str(one)) for one in texts)
    return replace(problem, field=field, seen=seen_said(problem.seen), allowed=allowed, next_step=step)


def refused_page(request: HttpRequest, problems: tuple[Problem, ...]) -> HttpResponse:
    """A refusal by itself, for what no page of ours sends; to a script as JSON."""
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"problems": [refused(one) for one in problems]}, status=400)
    return render(request, "desk/refused.html", {"problems": problems}, status=400)


class RefusedMiddleware:
    """Tells what a short form refused where its view has no page to tell it on, such as an id that is none."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer, unchanged."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """The refusal; anything else goes its way."""
        return refused_page(request, error.problems) if isinstance(error, InputError) else None
