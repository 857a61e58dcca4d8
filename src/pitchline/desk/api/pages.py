"""What a page does, for scripts: its own view is run with the fields of a body, and what it would tell a person comes back.

So no form and no rule stands twice. Nothing is drawn meanwhile (`not_drawn`).
"""

import copy
import re
import uuid
from collections.abc import Iterator, Mapping
from typing import Any

from django.contrib.messages import ERROR, WARNING
from django.core.files.uploadedfile import SimpleUploadedFile
from django.forms import BaseForm
from django.http import HttpResponse, HttpResponseNotAllowed, QueryDict
from django.urls import resolve, reverse
from django.utils.datastructures import MultiValueDict

from pitchline.desk.api.refused import RefusedError
from pitchline.desk.api.shapes import Done
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.undo.messages import MARK
from pitchline.trade.errors import Problem
from pitchline.words import translated

_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


class _Said:
    """Takes what a view says to the next page."""

    def __init__(self) -> None:
        self.lines: list[tuple[int, str, str]] = []

    def add(self, level: int, message: object, extra_tags: str = "") -> None:
        """Nothing comes out."""
        self.lines.append((level, re.sub(r"\s*<a .*?</a>", "", str(message)), extra_tags or ""))

    def __iter__(self) -> Iterator[Any]:
        return iter(())


def fields_sent(values: Mapping[str, Any]) -> QueryDict:
    """The values of a body as a form sends them: what is left out or false not at all, a dict as a field for each of its keys."""
    post = QueryDict(mutable=True)
    for name, value in values.items():
        if value is None or value is False:
            continue
        if isinstance(value, dict):
            for key, each in value.items():
                post[key if name == "fields" else f"{name}~{key}"] = str(each)
        elif isinstance(value, list):
            post.setlist(name, [str(each) for each in value])
        else:
            post[name] = "1" if value is True else str(value)
    return post


def run_page(
    request: DeskRequest,
    page: str,
    ids: Mapping[str, object],
    post: QueryDict,
    file: tuple[str, bytes] | None = None,
) -> Done:
    """What the view of a page did with these fields.

    Raises
    ------
    RefusedError
        What the page would show as refused, field by field.
    """
    match = resolve(reverse(page, kwargs=dict(ids)))
    inner, said, shown = copy.copy(request), _Said(), dict[str, Any]()
    inner.__dict__.pop("headers", None)
    inner.META = request.META | {"HTTP_ACCEPT": "*/*"}
    inner.method, inner.resolver_match, inner.GET = "POST", match, QueryDict()
    files = [SimpleUploadedFile(*file)] if file is not None else []
    more = {"_post": post, "_files": MultiValueDict({"files": files}), "_messages": said, "shown": shown}
    inner.__dict__ |= more
    response = match.func(inner, *match.args, **match.kwargs)
    if isinstance(response, HttpResponseNotAllowed):
        raise AssertionError(f"{page} takes nothing")
    refused = [line for level, line, _ in said.lines if level >= WARNING]
    if response.status_code >= 400 or (refused and len(refused) == len(said.lines) and said.lines[-1][0] == ERROR):
        raise _refused(response, shown, refused)
    return _done(response, said, refused, shown)


def _done(response: HttpResponse, said: _Said, refused: list[str], shown: Mapping[str, Any]) -> Done:
    address = response.headers.get("Location", "")
    undo = next((tags.removeprefix(MARK) for *_, tags in said.lines if tags.startswith(MARK)), None)
    at = _ID.findall(address)
    return Done(
        said=[line for level, line, _ in said.lines if level < WARNING],
        left=refused,
        address=address,
        id=uuid.UUID(at[-1]) if at else None,
        undo_id=uuid.UUID(undo) if undo else None,
        link=str(shown.get("link") or ""),
    )


def _refused(response: HttpResponse, shown: Mapping[str, Any], lines: list[str]) -> RefusedError:
    status = 409 if response.status_code in (302, 409) else 422
    problems = [one for one in shown.get("problems") or () if isinstance(one, Problem)]
    for form in _forms(shown):
        for name, errors in form.errors.get_json_data().items():
            typed = str(form.data.get(form.add_prefix(name), "")) or translated("nothing")
            field = "request" if name == "__all__" else name
            problems += [Problem(field, typed, one["message"], "Correct it and send it again.") for one in errors]
    if not problems and shown.get("now") is not None:
        step = "Look at what is there now, and send your change again with its version."
        now = str(getattr(shown["now"], "version", ""))
        return RefusedError(409, Problem("seen_version", translated("an older one"), now, step))
    if not problems:
        said = " ".join(lines) or translated("refused")
        problems = [Problem("request", said, "what the page takes", "Look at its page at the desk.")]
    return RefusedError(status, *problems)


def _forms(shown: Mapping[str, Any]) -> Iterator[BaseForm]:
    """Every form on the page that was filled in."""
    for value in shown.values():
        for one in (value, *getattr(value, "forms", ())):
            if isinstance(one, BaseForm) and one.is_bound:
                yield one
