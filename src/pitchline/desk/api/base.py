"""The API as a whole, and what every part of it shares."""

import json
import uuid
from typing import Any, cast

from django.http import Http404, HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError, ValidationErrorContext
from ninja.operation import Operation
from ninja.parser import Parser
from pydantic import BaseModel

from pitchline import __version__
from pitchline.desk.api import showing
from pitchline.desk.api.refused import RefusedError, UnfitError, not_found, refusal, unfit
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import DeskRequest
from pitchline.exchange.json_in import wanted_at
from pitchline.trade.errors import Problem
from pitchline.words import translated

JSON, OCTETS = "application/json", "application/octet-stream"


class StrictParser(Parser):
    """JSON as RFC 8259 has it: no NaN, no Infinity, each key once."""

    def parse_body(self, request: HttpRequest) -> Any:
        """The body's values, or a refusal that says where it is wrong."""
        return parsed(request.body)


def parsed(body: bytes) -> Any:
    """The values of a JSON text.

    Raises
    ------
    RefusedError
        400, with the place.
    """

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        whole = dict(pairs)
        if len(whole) < len(pairs):
            raise ValueError(translated("the same key twice in one object"))
        return whole

    def never(word: str) -> Any:
        raise ValueError(translated("{word}, which JSON does not have").format(word=word))

    try:
        return json.loads(body.decode("utf-8"), object_pairs_hook=once, parse_constant=never)
    except json.JSONDecodeError as error:
        seen = translated("line {line}, column {column}; wanted there: {wanted}").format(
            wanted=translated(wanted_at(error)), line=error.lineno, column=error.colno
        )
    except UnicodeDecodeError as error:
        seen = translated("byte {n} is not UTF-8").format(n=error.start + 1)
    except RecursionError:
        seen = translated("brackets nested too deep")
    except ValueError as error:  # Python's own limit of digits speaks of Python
        seen = translated("a number with too many digits") if "int_max_str" in str(error) else str(error)[:100]
    raise RefusedError(400, Problem("body", seen, "JSON in UTF-8", "Mend it there."))


class DeskAPI(NinjaAPI):
    """The API, with short operation names and refusals in our words."""

    def get_openapi_operation_id(self, operation: Operation) -> str:
        """The name of the function."""
        return operation.view_func.__name__

    def validation_error_from_error_contexts(
        self, error_contexts: list[ValidationErrorContext[Any]]
    ) -> ValidationError:
        """Each problem with the value seen."""
        return unfit(error_contexts)


api = DeskAPI(
    title="pitchline desk",
    version=__version__,
    description="The yard for scripts: machines, walk-rounds, work done, verdicts, plans of lay-ups, papers, prices, quotes, "
    "which part fits, photos.",
    urls_namespace="api",
    openapi_url=None,
    docs_url=None,
    parser=StrictParser(),
)


@api.exception_handler(ValidationError)
def _unfit(request: HttpRequest, error: Exception) -> HttpResponse:
    return refusal(RefusedError(422, *cast(UnfitError, error).problems))


@api.exception_handler(HttpError)
def _http(request: HttpRequest, error: Exception) -> HttpResponse:
    """Ninja wraps what the parser raised; what it wrapped says more."""
    if isinstance(error.__cause__, RefusedError):
        return refusal(error.__cause__)
    raise error


@api.exception_handler(Http404)
def _nowhere(request: HttpRequest, error: Exception) -> HttpResponse:
    """The door's too."""
    raise error


@api.exception_handler(Exception)
def _ours(request: HttpRequest, error: Exception) -> HttpResponse:
    """Everything else is the door's."""
    raise error


def machine_here(request: DeskRequest, machine_id: Any) -> Machine:
    """One machine of this business, judged where it was marked for it, as its page does."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    if machine.to_judge:
        judge_here(request, machine.pk)
        machine = machine_of(actor.business, machine_id)
    return machine


def judge_here(request: DeskRequest, machine_id: uuid.UUID) -> None:
    """Nothing comes out; the machine is judged now, or in the background where this is one of many writes."""
    if not getattr(request, "of_a_job", False):
        judge_machine(request.actor, machine_id)


def too_late(error: OldVersionError, seen: int) -> RefusedError:
    """Somebody else was faster: 409 with the machine as it is now."""
    step = "Look at what is there now, and send your change again with its version."
    problem = Problem("seen_version", str(seen), str(error.now.version), step)
    return RefusedError(409, problem, now=plain(showing.machine(error.now)))


def told(*codes: int, body: dict[str, Any] | None = None, ok: dict[int, Any] | None = None) -> dict[str, Any]:
    """What the description says of an operation beyond its types: its refusals, a body or an answer that is a file."""
    whole: dict[str, Any] = {"x-refusals": list(codes)}
    if body is not None:
        whole["requestBody"] = body
    if ok is not None:
        whole["responses"] = ok
    return whole


def octets() -> dict[str, Any]:
    """A body that is a file, in the one kind of content every client can send."""
    return {"content": {OCTETS: {"schema": {"type": "string", "format": "binary"}}}, "required": True}


def plain(shape: BaseModel) -> Any:
    """A shape as plain JSON values."""
    return shape.model_dump(mode="json")


__all__ = ["JSON", "OCTETS", "api", "machine_here", "not_found", "octets", "parsed", "plain", "told", "too_late"]
