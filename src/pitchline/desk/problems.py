"""What an error tells, for a page that shows every problem at once."""

import sys
from collections.abc import Callable
from dataclasses import replace

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from pitchline.desk.trouble import trouble_of
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import in_english, translated
from pitchline.words.catalogue import refused, seen_said


def problems_of(error: InputError | NotAllowedError) -> tuple[Problem, ...]:
    """Everything an error tells."""
    return error.problems if isinstance(error, InputError) else (error.problem,)


def in_language(problem: Problem) -> Problem:
    """The same problem with what is ours of it in the language in force; what was typed stays as it was typed."""
    texts = (problem.field, problem.allowed, problem.next_step)
    field, allowed, step = (translated(one if isinstance(one, str) else str(one)) for one in texts)
    return replace(problem, field=field, seen=seen_said(problem.seen), allowed=allowed, next_step=step)


def refused_page(request: HttpRequest, problems: tuple[Problem, ...], status: int = 400) -> HttpResponse:
    """A refusal by itself, for what no page of ours sends; to a script as JSON."""
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"problems": [refused(one) for one in problems]}, status=status)
    return render(request, "desk/refused.html", {"problems": problems}, status=status)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form without the sign by which the desk knows its own: from before somebody signed in or out, or without cookies."""
    step = in_english("Load the page again and send it from there; the browser has to keep this desk's cookies.")
    problem = Problem(
        "form", translated("a form from before, or one of another site"), "a form of this page", step
    )
    return refused_page(request, (problem,), status=403)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What no page of the desk sends: too many fields, too much, another computer's name."""
    step = in_english("Send less at a time, from a page of the desk itself.")
    seen = {
        "TooManyFieldsSent": translated("more fields than a form has"),
        "TooManyFilesSent": translated("more files than may come at once"),
        "RequestDataTooBig": translated("more than may come at once"),
        "DisallowedHost": translated("a name this desk does not answer to"),
    }.get(type(exception).__name__, translated("what cannot be read"))
    return HttpResponse(
        render_to_string(
            "desk/500.html", {"head": translated("Not taken"), "said": f"{seen}. {translated(step)}"}
        ),
        status=400,
    )


def failed(request: HttpRequest) -> HttpResponse:
    """The page for an error of ours; where disk or database failed, it says so. Asks no database itself."""
    said = trouble_of(sys.exc_info()[1])
    status = 503 if said else 500
    if said and request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"problems": [said]}, status=status)
    return HttpResponse(render_to_string("desk/500.html", {"said": said}), status=status)


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
