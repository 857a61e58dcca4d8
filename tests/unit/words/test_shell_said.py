"""The shell in a made-up language: help, tables, screens and refusals; options, names of files and what was typed stay."""

import argparse
import re

import pytest

import made_up
from judged_once import judge_once
from pitchline.cli import COMMANDS, NOT_USABLE, from_files, main
from pitchline.demo.files import write_yard
from pitchline.demo.yard import Yard, build_yard
from pitchline.trade.parts import PartKind
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.words import catalogue
from pitchline.words.names import named
from words_typed import typed_in

NUMBERS = (1, 7)
VERBS = "add end list"
WHAT_WAS_DONE = "rebuilt turned adjusted cleaned mended"
CHOICES = "auto milp outlook stops chain left side part quantity"
KEYS = (
    frozenset(
        f"{VERBS} {WHAT_WAS_DONE} {CHOICES} entry places readings track pitch layout guards expecting value property name "
        "enclosed in double quotes meters ann pass show bash csv svg eval date by source findings machine".split()
    )
    | {word for part in PartKind for word in named(part).split()}
    | set(DEFAULT_TOOLS)
)
"""Commands, parts and tools as a file has them, choices, columns, keys; what Python says of a JSON; what examples hold."""


@pytest.fixture(autouse=True)
def judged_once(monkeypatch):
    monkeypatch.setattr(from_files, "judge", judge_once)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    """Two machines of the demo yard as files: one that nobody went round, and the main one."""
    whole = build_yard()
    folder = tmp_path_factory.mktemp("yard")
    write_yard(Yard(whole.seed, tuple(whole.machine(number) for number in NUMBERS), whole.prices), folder)
    return folder


@pytest.fixture(scope="module")
def typed():
    whole = build_yard()
    told = set().union(*(typed_in(whole.machine(number).with_sheet) for number in NUMBERS))
    return {text for text in told if len(text) > 3}


@pytest.fixture
def said(wide_file, monkeypatch, capsys, yard, plain, typed, tmp_path):
    """What of a command's answer is in plain letters, and its exit status."""
    monkeypatch.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, wide_file])
    made_up.read_once()
    monkeypatch.setenv("PITCHLINE_LANGUAGE", made_up.CODE)
    monkeypatch.setenv("PITCHLINE_TODAY", "2026-11-30")
    monkeypatch.setenv("COLUMNS", "200")

    def run(*arguments):
        try:
            status = main([one.replace("YARD", str(yard)).replace("OUT", str(tmp_path)) for one in arguments])
        except SystemExit as ended:
            status = ended.code
        told = capsys.readouterr()
        lines = (told.out + told.err).splitlines()
        assert any(re.search("[А-я]{3}", line) for line in lines)
        found = plain([_CODE.sub(" ", line) for line in lines], typed)
        return status, [line for words, line in found if not set(words) <= {*COMMANDS, *KEYS}]

    return run


_CODE = re.compile(
    r"'[^']*'|\{[^}]*\}|\b[A-Z][A-Z_]+(?:[.:,=\[]+[A-Za-z]+\]?)?|(?<![\w])/[\w./-]+|^ +(?:cat .*)?pitchline .*$|pitchline [a-z]+:"
)
"""What was typed stands between quotes, choices between braces, what stands for a value in capitals; examples; who answers."""
GORSE = "YARD/07-gorse/machine.json"
PRICES = ("--prices", "YARD/prices.csv")
JUDGE = ("judge", GORSE)


@pytest.mark.parametrize("command", [*COMMANDS, ""])
def test_help_is_said_in_it(command, said):
    assert said(*filter(None, (command, "--help"))) == (0, [])


@pytest.mark.parametrize(
    "arguments",
    [
        (*JUDGE, *PRICES, "--as-of", "2026-11-30"),
        ("judge", "YARD"),
        ("ground", GORSE, "--soil", "wet heavy clay", "--shoes", "500,600"),
        ("done", GORSE, "adjusted", "chain/left", "--date", "2026-11-30", "--hours", "2410", "--out", "OUT/d.json"),
        ("sheet", GORSE, "--out", "OUT/blank.csv"),
        ("quote", GORSE, *PRICES, "--line", "2 replace idler", "--out", "OUT/quote.pdf"),
        ("picture", "YARD/01-alder/machine.json", "--out", "OUT/side.svg"),
    ],
    ids=lambda arguments: arguments[0],
)  # fmt: skip
def test_answers_are_said_in_it(arguments, said):
    assert said(*arguments) == (0, [])


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("nonsense",),
        ("judge",),
        (*JUDGE, "--nonsense"),
        (*JUDGE, "--as-of", "soon"),
        (*JUDGE, "--s", "x"),
        (*JUDGE, "--quote", "OUT/q.pdf"),
        (*JUDGE, "--buyer", "OUT/q.txt"),
        (*JUDGE, "--valid-until", "2026-12-12"),
        (*JUDGE, "--json", "--buyer", "-"),
        (*JUDGE, "--sheet", "YARD/prices.csv"),
        ("judge", "YARD", "--sheet", "YARD/x.csv"),
        ("judge", "YARD/nowhere.json"),
        ("judge", "YARD/README.txt"),
        ("judge", "YARD/prices.csv"),
        ("layups", "x.json", "--seconds", "0"),
        ("desk", "--port", "99999"),
        ("done", GORSE, "adjusted", "sky", "--date", "2026-11-30", "--hours", "1"),
        ("done", GORSE, "adjusted", "chain/left", "--date", "soon", "--hours", "1"),
        ("sheet", GORSE, "--out", "OUT/s.doc"),
        ("picture", GORSE, "--view", "hours-line", "--out", "OUT/p.svg"),
        ("picture", GORSE, "--out", "OUT/p.jpg"),
        ("ground", GORSE),
        ("ground", GORSE, "--soil", "hard earth=70"),
        ("quote", GORSE, *PRICES, "--line", "2 xx", "--out", "OUT/q.pdf"),
        ("fleet", "YARD/nowhere"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_refusals_are_said_in_it(arguments, said):
    """Also those of the parser of commands itself."""
    assert said(*arguments) == (NOT_USABLE, [])


def test_a_wrong_file_is_refused_in_it(said, yard, tmp_path):
    """A machine file and a filled sheet with words, sizes and keys that cannot be."""
    machine = (yard / "07-gorse/machine.json").read_text(encoding="utf-8")
    wrong = machine.replace('"joints_per_side": 52', '"joints_per_side": 1').replace('"left"', '"lift"', 1)
    wrong = wrong.replace('"sprocket_teeth"', '"sprocket_tooth"', 1).replace(
        '"meter_h": ', '"meter_h": "x", "meters": ', 1
    )
    (tmp_path / "wrong.json").write_text(wrong, encoding="utf-8")
    sheet = next((yard / "07-gorse").glob("sheet-*.csv"))
    lines = (
        sheet.read_text(encoding="utf-8-sig")
        .replace("calliper", "caliper", 2)
        .replace(",mm", ",km", 1)
        .splitlines()
    )
    (tmp_path / "wrong.csv").write_text("\n".join([*lines, lines[-1], "x,y,z"]), encoding="utf-8")
    (tmp_path / "broken.json").write_text("{", encoding="utf-8")
    for arguments in (
        ("judge", "OUT/wrong.json"),
        (*JUDGE, "--sheet", "OUT/wrong.csv"),
        ("judge", "OUT/broken.json"),
    ):
        assert said(*arguments) == (NOT_USABLE, [])


def test_the_parser_is_left_as_it_was(capsys, monkeypatch):
    """What the parser says is exchanged only while it reads a command."""
    kept = argparse._
    monkeypatch.setenv("PITCHLINE_LANGUAGE", made_up.CODE)
    with pytest.raises(SystemExit):
        main(["--help"])
    assert argparse._ is kept
    capsys.readouterr()
