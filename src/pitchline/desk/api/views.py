"""The description of the API: for programs, and as a page for people."""

import json
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_safe

from pitchline.desk.api.document import document
from pitchline.desk.api.refused import not_found, refusal


@dataclass(frozen=True, slots=True)
class Step:
    """One parameter, or one field of a body, as the page shows it.

    Parameters
    ----------
    name, where, kind, said : str
        Its name, where it stands, its type in words, what it is.
    needed : bool
        Whether it must be there.
    """

    name: str
    where: str
    kind: str
    said: str
    needed: bool


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as the page shows it.

    Parameters
    ----------
    code, said, kinds, example : str
        Status, what it means, kinds of content, an example as text.
    """

    code: str
    said: str
    kinds: str
    example: str


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing that can be asked."""

    id: str
    method: str
    path: str
    summary: str
    description: str
    lines: tuple[Step, ...]
    takes: str
    example: str
    answers: tuple[Answer, ...]
    refusals: str


@require_safe
def openapi(request: HttpRequest) -> JsonResponse:
    """The description, OpenAPI 3.1."""
    return JsonResponse(document())


@require_safe
def docs(request: HttpRequest) -> HttpResponse:
    """The same as a page, without a script."""
    whole = document()
    groups: dict[str, list[Operation]] = {}
    for path, methods in whole["paths"].items():
        for method, told in methods.items():
            one = _operation(method, path, told, whole["components"]["schemas"])
            groups.setdefault(told["tags"][0], []).append(one)
    refused = whole["paths"]["/api/v1/machines/{machine_id}"]["patch"]["responses"]
    refusals = [Answer(code, told["description"], "", "") for code, told in refused.items() if code[0] == "4"]
    context = {"groups": groups, "refusals": refusals, "example": _text(_example(refused["409"]))}
    return render(request, "api/docs.html", context)


@csrf_exempt
@login_not_required
def nowhere(request: HttpRequest) -> HttpResponse:
    """No such address, in the API's own words."""
    return refusal(not_found("Nothing is at this address."))


def _operation(method: str, path: str, told: dict[str, Any], schemas: dict[str, Any]) -> Operation:
    content = told.get("requestBody", {}).get("content", {})
    lines = [
        Step(
            one["name"],
            one["in"],
            _kind(one["schema"], schemas),
            one.get("description", ""),
            one.get("required", False),
        )
        for one in told["parameters"]
    ]
    lines += _fields(content, schemas)
    answers = told["responses"]
    return Operation(
        told["operationId"],
        method.upper(),
        path,
        told["summary"],
        told["description"],
        tuple(lines),
        ", ".join(content),
        _text(_example(told.get("requestBody", {}))),
        tuple(
            Answer(code, one["description"], ", ".join(one.get("content", {})), _text(_example(one)))
            for code, one in answers.items()
            if code[0] == "2"
        ),
        ", ".join(code for code in answers if code[0] == "4"),
    )


def _fields(content: dict[str, Any], schemas: dict[str, Any]) -> list[Step]:
    """The fields of a body that is an object of ours."""
    found = []
    for one in content.values():
        name = one["schema"].get("$ref", "").rpartition("/")[2]
        shape = schemas.get(name, {})
        needed = shape.get("required", [])
        for field, schema in shape.get("properties", {}).items():
            found.append(
                Step(field, "body", _kind(schema, schemas), schema.get("description", ""), field in needed)
            )
    return found


def _kind(schema: dict[str, Any], schemas: dict[str, Any]) -> str:
    """A type in words."""
    if "anyOf" in schema:
        return " or ".join(dict.fromkeys(_kind(each, schemas) for each in schema["anyOf"]))
    if "enum" in schema:
        return "one of: " + ", ".join(each or "empty" for each in schema["enum"])
    if "$ref" in schema:
        name = str(schema["$ref"]).rpartition("/")[2]
        return _kind(schemas[name], schemas) if "enum" in schemas.get(name, {}) else name
    if schema.get("type") == "array":
        return f"list of {_kind(schema.get('items', {}), schemas)}"
    return str(schema.get("format", schema.get("type", "")))


def _example(told: dict[str, Any]) -> Any:
    return next((one["example"] for one in told.get("content", {}).values() if "example" in one), None)


def _text(example: Any) -> str:
    if example is None or isinstance(example, str):
        return example or ""
    return json.dumps(example, indent=2, ensure_ascii=False)
