"""The description of the API, OpenAPI 3.1: what ninja reads from the code, with every refusal and an example of everything."""

from functools import cache
from typing import Any

from django.conf import settings

from pitchline.desk.api import (
    hours,
    jobs,
    learning,
    lists,
    machines,
    page_actions,
    parts,
    photos,
    prices,
    quotes,
    readable,
    rounds,
    shelf,
    tables,
    verdicts,
    work,
)
from pitchline.desk.api.base import JSON, api
from pitchline.desk.api.door import Way
from pitchline.desk.api.examples import EXAMPLES, refused_example
from pitchline.desk.api.once import HEADER
from pitchline.desk.api.shapes import Refused
from pitchline.desk.api.verdict_shape import verdict_schemas
from pitchline.exchange.machine_file import machine_schema

PREFIX = "/api/v1/"
TAKEN_BESIDE = {"enter_a_price_list": tuple(prices.NAMES)}
"""Kinds of content that are taken as before, beside the one that is told."""
WRITES = ("post", "put", "patch")
REFUSALS = {
    400: "The body is not JSON, or the Idempotency-Key is missing or no UUID.",
    401: "Nobody is named: no token, no session. Only where people sign in.",
    403: "Another website sent it, the CSRF token is wrong, or the person or token may not do this.",
    404: "Nothing there, or another business's.",
    409: "It cannot be done as things stand: somebody else was faster, or something is missing.",
    412: "If-Match was sent, and what it names no longer stands.",
    413: "The body is too large.",
    415: "A Content-Type that is not taken here.",
    422: "Something in it is not allowed, or the key was used for something else.",
    429: "Too much long work at once; Retry-After says when to ask again [s].",
}
UUID_PATTERN = "^[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}$"
"""As text, not by its format: generated clients then take it as they take any other header."""
_REFUSED = {"$ref": "#/components/schemas/Refused"}
for _router in (
    machines.router,
    rounds.router,
    work.router,
    hours.router,
    tables.router,
    verdicts.router,
    prices.router,
    quotes.router,
    parts.router,
    shelf.router,
    photos.router,
    readable.router,
    learning.router,
    lists.router,
    jobs.router,
    page_actions.router,
):
    api.add_router("", _router)


@cache
def document() -> dict[str, Any]:
    """The whole description, as plain JSON values."""
    whole: dict[str, Any] = dict(api.get_openapi_schema(path_prefix=PREFIX.lstrip("/")))
    schemas = whole["components"]["schemas"]
    refused = Refused.model_json_schema(ref_template="#/components/schemas/{model}", mode="serialization")
    schemas |= refused.pop("$defs") | {"Refused": refused}
    for others in (verdict_schemas(), _machine_file_schemas()):
        if twice := schemas.keys() & others.keys():
            raise AssertionError(f"two shapes of one name: {', '.join(sorted(twice))}")
        schemas |= others
    whole["components"]["securitySchemes"] = {
        "token": {"type": "http", "scheme": "bearer", "description": "A token of a person, for scripts."},
        "session": {
            "type": "apiKey",
            "in": "cookie",
            "name": settings.SESSION_COOKIE_NAME,
            "description": "Signed in at the desk.",
        },
    }
    whole["security"] = [{}, {"token": []}, {"session": []}]
    whole["servers"] = [{"url": "/"}]
    whole["paths"] = {path: _path(methods) for path, methods in whole["paths"].items()}
    return whole


def _machine_file_schemas() -> dict[str, Any]:
    """The machine file's own schema, its parts renamed to stand among the others."""
    whole = _moved(machine_schema())
    parts = whole.pop("$defs")
    for key in ("$schema", "$id", "title"):  # a generated client calls a shape by its title
        whole.pop(key)
    return dict(parts, MachineFile=whole)


def _moved(item: Any) -> Any:
    """The same with every reference leading to the components."""
    if isinstance(item, dict):
        return {
            key: value.replace("#/$defs/", "#/components/schemas/") if key == "$ref" else _moved(value)
            for key, value in item.items()
        }
    return [_moved(each) for each in item] if isinstance(item, list) else item


def _path(methods: dict[str, Any]) -> dict[str, Any]:
    if "get" in methods:
        for method in set(WRITES) & methods.keys():
            methods[method]["x-refusals"] = [*methods[method]["x-refusals"], 412]
    return {method: _operation(method, dict(told)) for method, told in methods.items()}


def _operation(method: str, told: dict[str, Any]) -> dict[str, Any]:
    refusals = {401, 403, 422, *told.pop("x-refusals")}
    told["description"] = told.get("description", "")
    told["summary"] = told["description"].partition("\n")[0].partition(". ")[0].removesuffix(".")
    if method in WRITES:
        refusals |= {400, 409, 413, 415, 422}
        key = {
            "in": "header",
            "name": HEADER,
            "required": True,
            "schema": {"type": "string", "pattern": UUID_PATTERN},
            "description": "A UUID made by the sender for each thing to be done; the same one again gives the same answer.",
            "example": EXAMPLES["key"],
        }
        told["parameters"] = [*told["parameters"], key]
        _exemplify(told["requestBody"]["content"])
    answers = {str(code): dict(answer) for code, answer in told["responses"].items()}
    for answer in answers.values():
        _exemplify(answer.get("content", {}))
    for parameter in told["parameters"]:
        parameter["schema"] = _without_null(parameter["schema"])
        if parameter["in"] == "path" and parameter["name"] not in EXAMPLES:
            parameter["example"] = EXAMPLES["key"]
        if parameter["name"] in EXAMPLES and "example" not in parameter:
            parameter["example"] = EXAMPLES[parameter["name"]]
    if method == "get":
        said = "Its mark. Sent as If-None-Match, the answer is 304 and empty while everything is as it was."
        answers["200"]["headers"] = {"ETag": {"schema": {"type": "string"}, "description": said}}
    answers |= {str(code): _refusal(code) for code in sorted(refusals)}
    return told | {"responses": answers}


def _without_null(schema: dict[str, Any]) -> dict[str, Any]:
    """What may be left out of an address is not null there; there is no such word."""
    kinds = [each for each in schema.get("anyOf", []) if each != {"type": "null"}]
    if len(kinds) != 1:
        return schema
    rest = {key: value for key, value in schema.items() if key not in ("anyOf", "default")}
    return dict(kinds[0], **rest)


def _refusal(code: int) -> dict[str, Any]:
    answer: dict[str, Any] = {
        "description": REFUSALS[code],
        "content": {JSON: {"schema": dict(_REFUSED), "example": refused_example(code)}},
    }
    if code == 429:
        answer["headers"] = {"Retry-After": {"schema": {"type": "string"}, "description": "Seconds."}}
    return answer


def _exemplify(content: dict[str, Any]) -> None:
    """Nothing comes out; afterwards every kind of JSON content has its example."""
    for kind, told in content.items():
        name = told["schema"].get("$ref", "").rpartition("/")[2]
        if name in EXAMPLES:
            told["example"] = EXAMPLES[name]
        elif kind in EXAMPLES:
            told["example"] = EXAMPLES[kind]


def ways_at(path: str) -> dict[str, Way]:
    """The methods of one address of the description, each with what it asks and takes."""
    return {
        method.upper(): Way(
            told["operationId"],
            (*told.get("requestBody", {}).get("content", {}), *TAKEN_BESIDE.get(told["operationId"], ())),
            frozenset(one["name"] for one in told["parameters"] if one["in"] == "query"),
        )
        for method, told in document()["paths"][path].items()
    }
