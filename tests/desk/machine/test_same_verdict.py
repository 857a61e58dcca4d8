"""The desk and the shell give the same verdict, to the last digit, for machines of the demo yard."""

import pytest

from pitchline.cli import main
from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.desk.bridge.figures import verdict_text
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.yard.demo import open_demo_yard


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The demo yard's files."""
    root = tmp_path_factory.mktemp("demo")
    write_yard(build_yard(), root)
    return root


@pytest.mark.parametrize(
    "names", [("01-alder", "02-bracken", "04-dogwood"), ("07-gorse", "11-linden", "13-nettle")]
)
def test_desk_says_what_the_shell_says(actor, folder, names, capsys):
    """Six of the seventeen, each another kind of machine, track or history; the whole yard takes the same way in."""
    assert len(open_demo_yard(actor).added) == 17
    assert open_demo_yard(actor).added == []
    for name in names:
        machine = Machine.objects.get(short_name=name)
        assert machine.invented
        judgement = judge_machine(actor, machine.pk)
        sheets = sorted(str(path) for path in (folder / name).glob("sheet-*.csv"))
        prices = str(folder / "prices.csv")
        call = ["judge", str(folder / name / "machine.json"), "--sheet", *sheets, "--prices", prices, "--json"]
        assert main(call) == 0
        assert verdict_text(judgement).strip() == capsys.readouterr().out.strip()
