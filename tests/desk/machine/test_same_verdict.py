"""The desk and the shell give the same verdict for the same day, to the last digit, for machines of the demo yard."""

import html
import json

import pytest

from pitchline.cli import main
from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.desk.bridge.figures import verdict_text
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.prices import newest_prices
from pitchline.desk.yard.demo import open_demo_yard

FOR_TODAY = ("--as-of", "today")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo yard's files."""
    root = tmp_path_factory.mktemp("demo")
    write_yard(build_yard(), root)
    return root


def shells_verdict(folder, name, capsys):
    """What the shell prints for one machine of the yard's files."""
    sheets = sorted(str(path) for path in (folder / name).glob("sheet-*.csv"))
    prices = str(folder / "prices.csv")
    call = [
        "judge",
        str(folder / name / "machine.json"),
        "--sheet",
        *sheets,
        "--prices",
        prices,
        "--json",
        *FOR_TODAY,
    ]
    assert main(call) == 0
    return capsys.readouterr().out.rstrip("\n") + "\n"


def test_page_api_and_shell_say_the_same_of_every_machine_of_the_demo_yard(actor, folder, client, capsys, words):
    """All seventeen: what is stored and shown, what a script is given, and what the shell prints, letter for letter."""
    assert len(open_demo_yard(actor).added) == 17
    assert open_demo_yard(actor).added == []
    names = sorted(path.name for path in folder.iterdir() if path.is_dir())
    assert len(names) == 17
    for name in names:
        machine = Machine.objects.get(short_name=name)
        assert machine.invented
        stored = verdict_text(judge_machine(actor, machine.pk))
        assert client.get(f"/api/v1/machines/{machine.pk}/verdict").content.decode() == stored, name
        assert shells_verdict(folder, name, capsys) == stored, name
        page = words(client.get(f"/machines/{machine.pk}/"))
        assert json.loads(stored)["headline"]["text"].split(". ")[0].removesuffix(".") in html.unescape(page), name


def test_machine_file_out_of_the_desk_gives_the_shell_the_same_verdict(actor, client, capsys, tmp_path):
    """The whole way round: files in, machine file out over the API, judged by the shell."""
    open_demo_yard(actor)
    machine = Machine.objects.get(short_name="07-gorse")
    stored = json.loads(verdict_text(judge_machine(actor, machine.pk)))
    (tmp_path / "m.json").write_bytes(client.get(f"/api/v1/machines/{machine.pk}/file").content)
    (tmp_path / "prices.csv").write_bytes(bytes(newest_prices(actor.business).content))
    call = ["judge", str(tmp_path / "m.json"), "--prices", str(tmp_path / "prices.csv"), "--json", *FOR_TODAY]
    assert main(call) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == stored
