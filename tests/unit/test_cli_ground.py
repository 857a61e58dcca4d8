"""The command `pitchline ground`, as a person would type it."""

import json

import pytest

from pitchline.cli import NOT_USABLE, main
from pitchline.demo.machines import RECIPES
from pitchline.exchange.machine_file import machine_json
from pitchline.trade.dossier import Dossier


@pytest.fixture(scope="module")
def machines(tmp_path_factory):
    """Machine files of the two demo machines that differ only in shoe width."""
    folder = tmp_path_factory.mktemp("ground")
    paths = {}
    for recipe in RECIPES:
        if recipe.number in (7, 17):
            paths[recipe.number] = folder / f"{recipe.number}.json"
            text = machine_json(Dossier(machine=recipe.machine, gear=recipe.gear))
            paths[recipe.number].write_text(text, encoding="utf-8")
    return paths


@pytest.fixture
def told(machines, capsys):
    def ask(*words, number=7):
        assert main(["ground", str(machines[number]), *words]) == 0
        return capsys.readouterr().out

    return ask


def going(text):
    return {one["ground"]: one["going"] for one in json.loads(text)["grounds"]}


def test_screen_fits_80_columns_and_carries_cautions(told):
    for words in (
        ("--soil", "wet heavy clay", "--load", "2000", "--reach", "7", "--slope", "10"),
        ("--soil", "wet heavy clay=40", "--soil", "peat=20", "--soil", "hard rock", "--shoes", "500,900"),
        ("--thumb", "sinks"),
        ("--cone", "60,0.8", "--shoes", "600"),
    ):
        shown = told(*words)
        assert max(map(len, shown.splitlines())) <= 80
        assert "competent" in shown
        assert "assumed" in shown
        assert "listed" in shown


def test_the_twins_differ_only_in_shoes_and_only_on_soft_ground(told):
    asked = ("--soil", "peat=50", "--soil", "hard rock", "--json")
    narrow, wide = going(told(*asked)), going(told(*asked, number=17))
    assert narrow == {"peat": "does_not_suit", "hard rock": "suits"}
    assert wide == {"peat": "uncertain", "hard rock": "suits"}
    gears = {recipe.number: recipe for recipe in RECIPES}
    assert gears[7].machine.mass_kg == gears[17].machine.mass_kg
    assert gears[7].gear.shoe_width_m < gears[17].gear.shoe_width_m
    assert gears[7].gear.joints_per_side == gears[17].gear.joints_per_side


def test_rubble_and_an_unremoulded_cone_stay_unknown(told):
    assert going(told("--soil", "demolition rubble", "--json")) == {"demolition rubble": "unknown"}
    assert going(told("--cone", "120", "--json")) == {"the tested ground": "unknown"}


def test_json_names_basis_and_source_of_every_input(told):
    whole = json.loads(
        told("--soil", "wet lean clay", "--vane", "40", "--contact-length", "3.6", "--measured", "--json")
    )
    bases = {one["name"]: one["basis"] for figure in whole["grounds"][0]["figures"] for one in figure["inputs"]}
    assert bases["mass_kg"] == "listed"
    assert bases["strength_pa"] == bases["level_length_m"] == "measured"
    assert bases["centres_m"] == "assumed"


@pytest.mark.parametrize("drawing", ["going", "slew", "pull", "slopes"])
def test_drawings_are_written(told, tmp_path, drawing):
    out = tmp_path / "drawn.svg"
    told("--soil", "wet sandy loam", "--shoes", "900", "--draw", drawing, "--out", str(out))
    assert out.read_text(encoding="utf-8").startswith("<svg")


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("--soil", "mud"),
        ("--soil", "peat=60", "--soil", "hard rock=60"),
        ("--soil", "peat", "--soil", "hard rock", "--vane", "30"),
        ("--soil", "peat", "--load", "2000"),
        ("--soil", "peat", "--shoes", "wide"),
        ("--cone", "400,0.8"),
        ("--soil", "peat", "--out", "drawn.pdf"),
        ("--soil", "peat", "--draw", "pull", "--out", "drawn.svg"),
    ],
)
def test_what_cannot_be_is_refused(machines, capsys, words):
    assert main(["ground", str(machines[7]), *words]) == NOT_USABLE
    assert "allowed" in capsys.readouterr().err
