"""The JSON Schema of a verdict, read from its dataclasses by the rules `exchange/verdict_json.py` writes by."""

import dataclasses
import datetime as dt
import types
from collections.abc import Mapping
from enum import Enum, IntEnum
from typing import Any, Union, get_args, get_origin, get_type_hints

from pitchline.exchange.verdict_json import FORMAT
from pitchline.verdict import MachinePlan, Verdict

Schemas = dict[str, dict[str, Any]]


def verdict_schemas() -> Schemas:
    """Verdict, plan, and every shape in them, by their names."""
    found: Schemas = {}
    _shape(Verdict, found)
    _shape(MachinePlan, found)
    verdict = found["Verdict"]
    verdict["properties"] = {"format": {"const": FORMAT}} | verdict["properties"]
    verdict["required"] = ["format", *verdict["required"]]
    found["PlanAnswer"] = _plan_answer()
    return found


def _plan_answer() -> dict[str, Any]:
    properties = {
        "machine_id": {"type": "string", "format": "uuid"},
        "as_of": {"type": "string", "format": "date"},
        "from_service_h": {"type": "number", "description": "The plan's hours count from here [h]."},
        "plan": {"$ref": "#/components/schemas/MachinePlan"},
    }
    return {
        "type": "object",
        "title": "PlanAnswer",
        "description": "A plan of lay-ups, and what its hours count from.",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _shape(kind: type, found: Schemas) -> dict[str, Any]:
    """A reference to the shape of a dataclass, which is then among those found."""
    name = kind.__name__ if kind in (Verdict, MachinePlan) else f"Verdict{kind.__name__}"
    if name not in found:
        shape: dict[str, Any] = {"type": "object", "title": name}
        found[name] = shape
        known = get_type_hints(kind)
        properties = {field.name: schema_of(known[field.name], found) for field in dataclasses.fields(kind)}
        shape["description"] = (kind.__doc__ or "").split("\n")[0]
        shape |= {"properties": properties, "required": list(properties), "additionalProperties": False}
    return {"$ref": f"#/components/schemas/{name}"}


def schema_of(wanted: Any, found: Schemas) -> dict[str, Any]:
    """The schema of one type; figures without bound are null."""
    origin = get_origin(wanted)
    if origin in (Union, types.UnionType):
        each = [schema_of(kind, found) for kind in get_args(wanted) if kind is not type(None)]
        return {"anyOf": [*each, {"type": "null"}]}
    if origin is tuple:
        return _tuple(get_args(wanted), found)
    if origin is Mapping:
        return {"type": "object"}
    if dataclasses.is_dataclass(wanted) and isinstance(wanted, type):
        return _shape(wanted, found)
    if isinstance(wanted, type) and issubclass(wanted, IntEnum):
        return {"type": "string", "enum": [each.name.lower() for each in wanted]}
    if isinstance(wanted, type) and issubclass(wanted, Enum):
        return {"type": "string", "enum": [each.value for each in wanted]}
    if wanted is dt.date:
        return {"type": "string", "format": "date"}
    return dict(_PLAIN[wanted])


def _tuple(kinds: tuple[Any, ...], found: Schemas) -> dict[str, Any]:
    if kinds[-1] is Ellipsis:
        return {"type": "array", "items": schema_of(kinds[0], found)}
    return {
        "type": "array",
        "prefixItems": [schema_of(kind, found) for kind in kinds],
        "minItems": len(kinds),
        "maxItems": len(kinds),
    }


_PLAIN: dict[Any, dict[str, Any]] = {
    float: {"type": ["number", "null"]},
    int: {"type": "integer"},
    str: {"type": "string"},
    bool: {"type": "boolean"},
}
