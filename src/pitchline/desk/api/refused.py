"""Every refusal of the API in one shape: field, value, allowed, next step."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, get_args

from django.http import HttpResponse, JsonResponse
from ninja.errors import ValidationError, ValidationErrorContext

from pitchline.desk.api.near import did_you_mean
from pitchline.desk.problems import in_language
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated

LONGEST_SHOWN = 200


class RefusedError(Exception):
    """A request that is not done, with what was wrong with it."""

    def __init__(self, status: int, *problems: Problem, now: Any = None, wait_s: int | None = None) -> None:
        self.status, self.problems, self.now, self.wait_s = status, problems, now, wait_s
        super().__init__("; ".join(str(problem) for problem in problems))


class UnfitError(ValidationError):
    """Parameters or a body that do not fit what the description says."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__([])


def _shown(text: object) -> str:
    """A value as it can be shown: not too long, and without halves of characters."""
    whole = text if isinstance(text, str) else repr(text)
    short = whole if len(whole) <= LONGEST_SHOWN else whole[:LONGEST_SHOWN] + "…"
    return short.encode("utf-8", "backslashreplace").decode("utf-8")


def told(problem: Problem) -> dict[str, str]:
    """One problem as the API writes it."""
    one = in_language(problem)
    row = translated("row {n}").format(n=one.row) if one.row is not None else ""
    place = ", ".join(bit for bit in (one.file, row) if bit)
    field = f"{place}: {one.field}" if place else one.field
    return {
        "field": _shown(field),
        "value": _shown(one.seen),
        "allowed": _shown(one.allowed),
        "next_step": _shown(one.next_step),
    }


def refusal(error: RefusedError) -> HttpResponse:
    """The answer to a request that is not done."""
    whole = {"problems": [told(problem) for problem in error.problems], "now": error.now}
    response = JsonResponse(whole, status=error.status)
    if error.wait_s is not None:
        response.headers["Retry-After"] = str(error.wait_s)
    if error.status == 401:
        response.headers["WWW-Authenticate"] = 'Bearer realm="pitchline"'
    return response


def unusable(error: InputError | NotAllowedError, status: int = 422) -> RefusedError:
    """What the core refused, as a refusal of the API."""
    problems = error.problems if isinstance(error, InputError) else (error.problem,)
    return RefusedError(status, *problems)


def not_found(said: str = "") -> RefusedError:
    """Nothing there, or another business's."""
    seen = translated(said) or translated("nothing there")
    problem = Problem("address", seen, "something that is in this yard", "Look in the lists first.")
    return RefusedError(404, problem)


def of_form(errors: Mapping[str, Any], typed: Mapping[str, object]) -> RefusedError:
    """What a form of the desk refused; errors as `form.errors.get_json_data()` gives them."""
    problems = [
        Problem(
            field, str(typed.get(field, translated("nothing"))), one["message"], "Correct it and send it again."
        )
        for field, found in errors.items()
        for one in found
    ]
    return RefusedError(422, *problems)


def _fields_at(model: Any, loc: Sequence[int | str]) -> list[str]:
    """The fields of the object in which a name stands that it does not have."""
    for name in loc[:-1]:
        if isinstance(name, str) and name in getattr(model, "model_fields", {}):
            model = _object_in(model.model_fields[name].annotation)
    return list(getattr(model, "model_fields", {}))


def _object_in(annotation: Any) -> Any:
    """The shape inside list[...], Annotated[...] or ... | None."""
    if hasattr(annotation, "model_fields"):
        return annotation
    return next((found for each in get_args(annotation) if (found := _object_in(each)) is not None), None)


def unfit(contexts: Iterable[ValidationErrorContext[Any]]) -> UnfitError:
    """What pydantic refused, in our words."""
    problems = []
    for context in contexts:
        source = context.model.__ninja_param_source__ or "request"
        for one in context.pydantic_validation_error.errors(include_url=False):
            place = [str(bit) for bit in one["loc"][1:]]
            field = ".".join([source, *place] if place else [source])
            cause = one.get("ctx", {}).get("error")
            if isinstance(cause, NotAllowedError):
                problem = cause.problem
                problems.append(Problem(field, problem.seen, problem.allowed, problem.next_step))
                continue
            missing = one["type"] == "missing"
            if one["type"] == "extra_forbidden":
                known = _fields_at(context.model, one["loc"])
                step = did_you_mean(place[-1], known, "Leave it out.")
                problems.append(Problem(field, _shown(one["input"]), ", ".join(sorted(known)), step))
                continue
            seen = translated("nothing") if missing else _shown(one["input"])
            allowed = one["msg"].removeprefix("Input should be ").removeprefix("Value error, ")
            problems.append(Problem(field, seen, allowed, "Correct it and send it again."))
    return UnfitError(tuple(problems[:50]))
