"""The yard's files: what is written, what it says, and that it reads back as it was."""

from pathlib import Path

import pytest

from pitchline.demo.files import readme_text, sheet_name, write_yard
from pitchline.demo.parts import NOTE
from pitchline.demo.yard import Yard, build_yard
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.parts_file import read_parts
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.sheet import read_sheet
from pitchline.match.parts import PartList
from pitchline.match.ranking import PartReading, match_parts
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind


@pytest.fixture(scope="session")
def folder(yard: Yard, tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("yard")
    write_yard(yard, where)
    return where


def test_a_folder_for_each_machine(yard: Yard, folder: Path) -> None:
    assert {path.name for path in folder.iterdir()} == {
        "README.txt",
        "prices.csv",
        "parts.csv",
        *(machine.folder for machine in yard.machines),
    }
    for machine in yard.machines:
        names = {path.name for path in (folder / machine.folder).iterdir()}
        assert {"machine.json", sheet_name(machine)} <= names
    assert len(list(folder.glob("*/*.xlsx"))) == 1


def test_what_is_returned_is_what_was_written(tmp_path: Path) -> None:
    written = write_yard(build_yard(2), tmp_path / "yard")
    assert sorted(written) == sorted(path for path in (tmp_path / "yard").rglob("*") if path.is_file())


def test_the_readme_says_invented_and_names_the_slip(yard: Yard, folder: Path) -> None:
    text = (folder / "README.txt").read_text(encoding="utf-8")
    assert text == readme_text(yard)
    assert "Everything in this folder is invented" in text
    assert "On purpose: the pitch of the left chain was read over 3 joints and entered as 4" in text
    assert all(machine.dossier.machine.name in text for machine in yard.machines)


def test_every_machine_file_reads_back(yard: Yard, folder: Path) -> None:
    for machine in yard.machines:
        assert read_machine(folder / machine.folder / "machine.json") == machine.dossier


def test_every_sheet_reads_back(yard: Yard, folder: Path) -> None:
    for machine in yard.machines:
        for path in (folder / machine.folder).glob("sheet-*"):
            read = read_sheet(path, machine.dossier)
            assert (read.date, read.service_h, read.by) == (
                machine.sheet.date,
                machine.sheet.service_h,
                machine.sheet.by,
            )
            assert read.findings == machine.sheet.findings
            assert {(one.place, one.measurand): one for one in read.readings} == {
                (one.place, one.measurand): one for one in machine.sheet.readings
            }


def test_the_price_list_reads_back(yard: Yard, folder: Path) -> None:
    assert read_prices(folder / "prices.csv") == yard.prices


def test_the_table_of_parts_reads_back_says_it_is_invented_and_finds_a_worn_roller(
    yard: Yard, folder: Path
) -> None:
    parts = read_parts(folder / "parts.csv")
    assert {one.note for one in parts} == {NOTE}
    assert all(one.number.startswith("made-up ") for one in parts)
    rollers = PartList(tuple(one for one in parts if one.part is PartKind.BOTTOM_ROLLER))
    wanted = rollers.parts[3]
    worn_m = float(wanted.sizes[PartSize.TREAD_DIAMETER]) - 0.4 * wanted.allowances_m[PartSize.TREAD_DIAMETER]
    bolts = [
        PartReading(size, wanted.sizes[size], 0.0005) for size in (PartSize.BOLTS_ALONG, PartSize.BOLTS_ACROSS)
    ]
    flanges = (
        [PartReading(PartSize.FLANGES, wanted.sizes[PartSize.FLANGES])] if PartSize.FLANGES in wanted.sizes else []
    )
    found = match_parts(rollers, [PartReading(PartSize.TREAD_DIAMETER, worn_m, 0.0005), *bolts, *flanges])
    first = found.ranked[0].part.sizes
    assert first[PartSize.TREAD_DIAMETER] == pytest.approx(wanted.sizes[PartSize.TREAD_DIAMETER])
    assert first[PartSize.BOLTS_ALONG] == pytest.approx(wanted.sizes[PartSize.BOLTS_ALONG])
