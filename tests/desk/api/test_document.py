"""The description is true: valid OpenAPI, an example of everything, every example fits its schema, and the page shows it all."""

import re

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from pitchline.desk.api.document import REFUSALS, document

WHOLE = document()
OPERATIONS = [
    (f"{method} {path}", told) for path, methods in WHOLE["paths"].items() for method, told in methods.items()
]


def fits(example, schema):
    whole = {"components": WHOLE["components"], "$ref": schema["$ref"]} if "$ref" in schema else schema
    Draft202012Validator(whole, format_checker=FormatChecker()).validate(example)


def contents(told):
    yield from told.get("requestBody", {}).get("content", {}).items()
    for answer in told["responses"].values():
        yield from answer.get("content", {}).items()


@pytest.mark.parametrize(("name", "told"), OPERATIONS)
def test_everything_taken_and_given_has_an_example_that_fits(name, told):
    assert told["summary"]
    for kind, content in contents(told):
        if kind == "application/json":
            fits(content["example"], content["schema"])
    for parameter in told["parameters"]:
        if parameter["required"]:
            fits(parameter["example"], parameter["schema"])


@pytest.mark.parametrize(("name", "told"), OPERATIONS)
def test_every_refusal_has_the_one_shape(name, told):
    refusals = {code: one for code, one in told["responses"].items() if code[0] == "4"}
    assert refusals.keys() <= {str(code) for code in REFUSALS}
    for one in refusals.values():
        (kind,) = one["content"]
        assert one["content"][kind]["schema"] == {"$ref": "#/components/schemas/Refused"}
    writes = not name.startswith("get")
    assert ("Idempotency-Key" in [one["name"] for one in told["parameters"]]) is writes


def test_every_reference_leads_somewhere():
    names = set(re.findall(r"#/components/schemas/(\w+)", str(WHOLE)))
    assert names <= WHOLE["components"]["schemas"].keys()
    assert "$defs" not in str(WHOLE)


def test_page_shows_every_operation_without_a_script(client, db):
    text = client.get("/api/v1/docs").content.decode()
    for path in WHOLE["paths"]:
        assert f"<code>{path}</code>" in text
    assert "<script" not in text
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert sorted(ids) == sorted(set(ids))


def test_served_description_is_the_document(client, db):
    assert client.get("/api/v1/openapi.json").json() == WHOLE
