"""`pitchline quote`, as a person would type it. Every price is invented."""

import io
from dataclasses import replace

import pypdf
import pytest

from pitchline.cli import NOT_USABLE, main
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.prices_file import write_prices
from pitchline.money.machine_class import MachineClass
from pitchline.money.stop_costs import StopCosts


@pytest.fixture
def quote(dossier, prices, tmp_path, monkeypatch):
    """Runs it for the invented excavator of 21 t; the day is held."""
    monkeypatch.setenv("PITCHLINE_TODAY", "2026-11-30")
    (tmp_path / "machine.json").write_text(machine_json(dossier), encoding="utf-8")
    lines = [
        replace(line, which=which, price_low=usual, price_usual=usual, price_high=usual)
        for line in prices.lines
        if line.part.value == "bottom_roller"
        for which, usual in ((MachineClass(mass_from_kg=12e3), 275.0), (MachineClass(gear="Wide"), 410.0))
    ]
    whole = replace(prices, lines=(*prices.lines, *lines), stop=StopCosts(lorry=400.0))
    write_prices(whole, tmp_path / "prices.csv")

    def run(*more):
        files = [str(tmp_path / "machine.json"), "--prices", str(tmp_path / "prices.csv")]
        return main(["quote", *files, "--out", str(tmp_path / "q.pdf"), *more])

    return run


def test_two_rollers_of_its_class_a_line_at_a_price_and_a_lorry(quote, tmp_path, capsys):
    """By hand: 2 x 275 + 3 h x 50 = 700; 600; 35; 400."""
    line = "1 replace sprocket at 600 because agreed"
    assert (
        quote("--line", "2 replace bottom roller", "--line", line, "--own", "carriage at 35", "--charge", "lorry")
        == 0
    )
    said = capsys.readouterr().out.replace("\u00a0", " ")
    for told in (
        "Replace 2 bottom rollers: 700.00",
        "Replace 1 sprocket: 600.00",
        "Carriage: 35.00",
        "EUR 1,735.00 without tax",
    ):
        assert told in said, told
    text = pypdf.PdfReader(io.BytesIO((tmp_path / "q.pdf").read_bytes())).pages[0].extract_text()
    for told in ("1,735.00", "price list prices.csv", "T1-20261130", "30 Dec 2026"):
        assert told in text.replace("\u00a0", " "), told


def test_gear_list_entry_and_parts_alone(quote, capsys):
    assert quote("--line", "2 replace bottom roller", "--gear-list", "Wide", "--parts-alone") == 0
    assert "2 × bottom roller: 820.00" in capsys.readouterr().out.replace("\u00a0", " ")


@pytest.mark.parametrize(
    "more",
    [
        (),
        ("--line", "two rollers"),
        ("--line", "2 dance bottom roller"),
        ("--line", "2 replace bottom roller at cheap"),
        ("--line", "2 replace bottom roller at 5"),
        ("--line", "1 replace sprocket"),
        ("--own", "carriage"),
        ("--line", "2 replace bottom roller", "--charge", "call-out"),
        ("--line", "2 replace bottom roller", "--sides-opened", "1"),
        ("--line", "2 replace bottom roller", "--valid-until", "2026-11-29"),
        ("--line", "2 replace bottom roller", "--out", "q.txt"),
    ],
)
def test_what_cannot_be_quoted_writes_nothing_and_says_why(quote, tmp_path, capsys, more):
    assert quote(*more) == NOT_USABLE
    assert "Nothing was written" in capsys.readouterr().err
    assert not (tmp_path / "q.pdf").exists()
