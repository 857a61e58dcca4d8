"""The examples on the reference pages read as they stand, and the pages name every key and column."""

import json
import re
from dataclasses import fields
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from pitchline.exchange.machine_file import machine_from_json, machine_schema
from pitchline.exchange.prices_file import PRICES, read_prices
from pitchline.exchange.sheet import read_sheet
from pitchline.exchange.sheet_layout import SHEET
from pitchline.exchange.stop_instance import (
    ComponentEntry,
    GroupEntry,
    HeadEntry,
    JobEntry,
    RuleEntry,
    StageEntry,
    instance_from_json,
)
from pitchline.ground.outline import Outline
from pitchline.ground.section import (
    GroundFigure,
    GroundInput,
    GroundOutcome,
    GroundSection,
    ShoeOutcome,
    SlewPoint,
)
from pitchline.stops.planner import METHODS, plan_stops
from pitchline.stops.recost import recost

PAGES = Path(__file__).parents[3] / "docs" / "reference"


def _examples(page, language):
    return re.findall(rf"```{language}\n(.*?)```", (PAGES / page).read_text(encoding="utf-8"), re.DOTALL)


def _example(page, language):
    (block,) = _examples(page, language)
    return block


@pytest.fixture
def machine():
    return machine_from_json(_example("machine-file.md", "json"), "machine-file.md")


def test_the_machine_file_example_reads_and_fits_the_schema(machine):
    Draft202012Validator(machine_schema()).validate(json.loads(_example("machine-file.md", "json")))
    assert machine.walk_rounds[0].service_h == 5200.0


def test_the_sheet_example_reads(machine, tmp_path):
    path = tmp_path / "example.csv"
    path.write_text(_example("walk-round-sheet.md", "csv"))
    walk_round = read_sheet(path, machine)
    assert (len(walk_round.readings), len(walk_round.findings)) == (2, 2)


def test_the_price_list_examples_read(tmp_path):
    path, counts = tmp_path / "example.csv", []
    for block in _examples("price-list.md", "csv"):
        path.write_text(block)
        counts.append((len(read_prices(path).lines), len(read_prices(path).figures)))
    assert counts == [(3, 0), (4, 1)]


def test_every_section_head_and_column_is_named_on_its_page():
    pages = {
        page: (PAGES / page).read_text(encoding="utf-8")
        for page in ("machine-file.md", "walk-round-sheet.md", "price-list.md")
    }
    wanted = {
        "machine-file.md": set(machine_schema()["properties"]) - {"$schema"},
        "walk-round-sheet.md": {*SHEET.heads, *SHEET.columns, "extra doubt"} - {"reading 2"},
        "price-list.md": {*PRICES.heads, *PRICES.columns, *PRICES.further},
    }
    missing = {
        (page, word)
        for page, words in wanted.items()
        for word in words
        if f"`{word}`" not in pages[page] and f'"{word}"' not in pages[page]
    }
    assert missing == set()


def test_the_stop_instance_example_costs_what_the_page_says():
    """Both ways of planning and the independent re-costing, against the sentence below the example."""
    instance = instance_from_json(_example("stop-instance.md", "json"), "stop-instance.md")
    both = [{part.name: [("replace", step)] for part in instance.components} for step in (1, 0, 2)]
    costs = [recost(instance, done) for done in (both[0], {}, both[1], both[2])]
    text = (PAGES / "stop-instance.md").read_text(encoding="utf-8")
    said = re.findall(r"\d+,\d{3}\.\d\d", text)
    assert said == [f"{cost:,.2f}" for cost in costs]
    for method in METHODS:
        plan = plan_stops(instance, method)
        assert (f"{plan.expected_cost:,.2f}", plan.stop_steps) == (said[0], (1,))


@pytest.mark.parametrize("entry", [HeadEntry, ComponentEntry, GroupEntry, JobEntry, RuleEntry, StageEntry])
def test_every_key_of_a_stop_instance_is_named(entry):
    text = (PAGES / "stop-instance.md").read_text(encoding="utf-8")
    assert [key for key in entry.model_fields if f"`{key}`" not in text] == []


@pytest.mark.parametrize(
    "kind", [GroundSection, GroundOutcome, GroundFigure, GroundInput, ShoeOutcome, SlewPoint, Outline]
)
def test_the_page_on_the_ground_names_every_key_of_the_verdict(kind):
    text = (PAGES / "ground-section.md").read_text(encoding="utf-8")
    assert [one.name for one in fields(kind) if f"`{one.name}`" not in text] == []
