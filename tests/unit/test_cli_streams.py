"""Standard input and output, several machines at once, examples, completion: the shell as people use one."""

import io
import json
import os
import shlex
import shutil
import subprocess
import sys

import pytest

from judged_once import judge_once
from pitchline.cli import COMMANDS, EXAMPLES, NOT_USABLE, from_files, main, parser
from pitchline.cli.completion import bash_script
from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.exchange.machine_file import read_machine

_ASKS = 'COMP_WORDS=({line}); COMP_CWORD={at}; _pitchline; echo "${{COMPREPLY[*]}}"'


@pytest.fixture(autouse=True)
def judged_once(monkeypatch):
    monkeypatch.setattr(from_files, "judge", judge_once)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    """Three machines of the demo yard in a folder: Alder, which nobody went round, Gorse, and one more."""
    whole, few = tmp_path_factory.mktemp("whole"), tmp_path_factory.mktemp("few")
    write_yard(build_yard(1), whole / "demo")
    for name in ("01-", "02-", "07-"):
        (folder,) = (path for path in (whole / "demo").glob(f"{name}*") if path.is_dir())
        shutil.copytree(folder, few / folder.name)
    shutil.copy(whole / "demo" / "prices.csv", few)
    return few


@pytest.fixture
def gorse(yard):
    return next(yard.glob("07-*")) / "machine.json"


@pytest.fixture
def typed_in(monkeypatch):
    """Lets a file's content come in on standard input."""

    def come(content):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(content), encoding="utf-8"))

    return come


def test_machine_from_standard_input_is_judged_as_from_its_file(gorse, typed_in, capsys):
    assert main(["judge", str(gorse), "--json"]) == 0
    from_file = capsys.readouterr().out
    typed_in(gorse.read_bytes())
    assert main(["judge", "-", "--json"]) == 0
    assert capsys.readouterr().out == from_file


def test_paper_goes_to_standard_output_alone(gorse, typed_in, capfdbinary):
    typed_in(gorse.read_bytes())
    assert main(["judge", "-", "--buyer", "-"]) == 0
    out = capfdbinary.readouterr().out
    assert out.startswith(b"%PDF-")
    assert out.rstrip().endswith(b"%%EOF")


def test_sheet_and_drawing_go_to_standard_output(gorse, capfdbinary, tmp_path):
    assert main(["sheet", str(gorse), "--out", str(tmp_path / "s.csv")]) == 0
    capfdbinary.readouterr()
    assert main(["sheet", str(gorse), "--out", "-"]) == 0
    assert capfdbinary.readouterr().out == (tmp_path / "s.csv").read_bytes()
    for command, kind, begins in (
        ("sheet", "pdf", b"%PDF-"),
        ("sheet", "xlsx", b"PK"),
        ("picture", "svg", b"<svg"),
        ("picture", "png", b"\x89PNG"),
    ):
        assert main([command, str(gorse), "--out", "-", "--as", kind]) == 0
        assert capfdbinary.readouterr().out.startswith(begins)


def test_a_sheet_made_of_what_came_in_goes_out_again(gorse, typed_in, capfdbinary):
    typed_in(gorse.read_bytes())
    assert main(["sheet", "-"]) == 0
    assert b"rail" in capfdbinary.readouterr().out


def test_filled_sheet_and_prices_from_standard_input(gorse, yard, typed_in, capsys):
    sheet = next(gorse.parent.glob("sheet-*.csv"))
    assert main(["judge", str(gorse), "--sheet", str(sheet), "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    typed_in(sheet.read_bytes())
    assert main(["judge", str(gorse), "--sheet", "-", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["parts"] == whole["parts"]
    typed_in((yard / "prices.csv").read_bytes())
    assert main(["judge", str(gorse), "--prices", "-", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["money_window"]


def test_what_came_in_and_cannot_be_used_is_told_as_standard_input(typed_in, capsys):
    typed_in(b'{"format": "pitchline-machine/1"}')
    assert main(["judge", "-"]) == NOT_USABLE
    assert "  standard input" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["judge", "-", "--prices", "-"], "standard input once"),
        (["judge", "{gorse}", "--json", "--buyer", "-"], "one thing on standard output"),
        (["judge", "{gorse}", "--buyer", "-", "--advert", "-"], "a file of its own"),
        (["judge", "{yard}", "--buyer", "paper.pdf"], "a folder, for several machines"),
        (["judge", "{yard}", "--sheet", "x.csv"], "Judge that machine by itself."),
        (["judge", "{gorse}", "{gorse}", "--advert", "{out}"], "names its papers"),
        (["sheet", "{gorse}", "--out", "{out}/s.csv", "--as", "pdf"], "together with --out -"),
        (["judge", "{out}"], "a folder with machine files in it"),
    ],
)
def test_what_cannot_be_done_is_refused(yard, gorse, tmp_path, capsys, arguments, told, typed_in):
    typed_in(b"{}")
    names = {"gorse": gorse, "yard": yard, "out": tmp_path}
    assert main([one.format(**names) for one in arguments]) == NOT_USABLE
    assert told in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_no_pdf_is_poured_over_a_terminal(gorse, monkeypatch, capsys):
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    assert main(["sheet", str(gorse), "--out", "-", "--as", "pdf"]) == NOT_USABLE
    assert "a terminal" in capsys.readouterr().err


def test_a_folder_is_judged_as_a_table_the_gravest_first(yard, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    assert main(["judge", str(yard), "--prices", str(yard / "prices.csv")]) == 0
    said = capsys.readouterr()
    assert said.err == "Each is judged for the day of its last walk-round. For today: --as-of today\n"
    lines = said.out.splitlines()
    assert lines[0].split()[:2] == ["Call", "Machine"]
    names = [read_machine(path).machine.name for path in sorted(yard.glob("*/machine.json"))]
    assert len(names) == 3
    told = [line for line in lines if any(name in line for name in names)]
    assert len(told) == 3
    ranks = ["[#]", "[/]", "[ ]", "[?]"]
    found = [ranks.index(line[:3]) for line in told]
    assert found == sorted(found)
    assert told[-1].startswith("[?]")


def test_several_machines_as_json_are_one_a_line(yard, gorse, capsys):
    assert main(["judge", str(yard), "--json"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [json.loads(line)["format"] for line in lines] == ["pitchline-verdict/2"] * 3
    assert main(["judge", str(gorse), "--json"]) == 0
    alone = json.loads(capsys.readouterr().out)
    assert alone in [json.loads(line) for line in lines]


def test_papers_of_several_go_into_a_folder(yard, tmp_path, capsys):
    out = tmp_path / "papers"
    assert main(["judge", str(yard), "--advert", str(out), "--buyer", str(out)]) == 0
    names = [read_machine(path).machine.machine_id for path in sorted(yard.glob("*/machine.json"))][1:]
    wanted = {f"{name}-{kind}" for name in names for kind in ("advert.txt", "buyer.pdf")}
    assert {path.name for path in out.iterdir()} == wanted
    assert f"2 papers in {out}" in capsys.readouterr().out


def test_one_that_cannot_be_used_stops_all_and_is_named_by_its_path(yard, tmp_path, capsys):
    spoilt = tmp_path / "yard"
    shutil.copytree(yard, spoilt)
    broken = next(spoilt.glob("07-*")) / "machine.json"
    broken.write_text('{"format": "pitchline-machine/1"}', encoding="utf-8")
    assert main(["judge", str(spoilt), "--advert", str(tmp_path / "out")]) == NOT_USABLE
    said = capsys.readouterr()
    assert f"  {broken}" in said.err
    assert said.out == ""
    assert not (tmp_path / "out").exists()


def test_every_help_has_examples_that_can_be_typed(capsys):
    """Each line given as an example is understood by the commands themselves; what stands beyond a pipe is a shell's."""
    whole = parser(tuple(COMMANDS))
    for name in COMMANDS:
        with pytest.raises(SystemExit) as ended:
            main([name, "--help"])
        assert ended.value.code == 0
        shown = capsys.readouterr().out
        assert "examples:" in shown
        examples = [line.strip() for line in shown.partition("examples:")[2].splitlines() if "pitchline" in line]
        assert examples
        for line in [*examples, *(typed for _, typed in EXAMPLES)]:
            words = shlex.split(line.replace('eval "$(', "").replace(')"', ""))
            at = words.index("pitchline")
            ends = [n for n, word in enumerate(words) if word in ("|", ">") and n > at] or [len(words)]
            if "--help" not in words:
                whole.parse_args(words[at + 1 : ends[0]])


def test_a_wrong_word_is_told_in_two_lines(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["sheet"])
    assert ended.value.code == NOT_USABLE
    said = capsys.readouterr().err.splitlines()
    assert said == [
        "pitchline sheet: the following arguments are required: MACHINE.json",
        "See: pitchline sheet --help",
    ]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("pitchline ju", {"judge"}),
        ("pitchline judge --bu", {"--buyer", "--business"}),
        ("pitchline judge --units im", {"imperial"}),
        ("pitchline people ", {"add", "list", "--help"}),
        ("pitchline tokens end --pu", {"--purpose"}),
        ("pitchline judge --prices p", set()),  # names of files: bash itself
    ],
)
def test_bash_completes(line, offered, tmp_path):
    words = [*line.split(" ")]
    asks = _ASKS.format(line=" ".join(shlex.quote(word) for word in words), at=len(words) - 1)
    script = bash_script(parser(tuple(COMMANDS))) + asks
    found = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)  # noqa: S603, S607
    assert found.stderr == ""
    assert set(found.stdout.split()) == offered


_ONE_AFTER_ANOTHER = """
import contextlib, io, json, sys
from pitchline.cli import main
for line in sys.stdin:
    words, typed = json.loads(line)
    out, err, sys.stdin = io.StringIO(), io.StringIO(), io.StringIO(typed)
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = main(words)
    print(json.dumps([status, out.getvalue(), err.getvalue()]), flush=True)
"""


@pytest.fixture
def at_desk(tmp_path):
    """Runs commands on a data folder of its own: the first by itself, the others one after another in one process."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PITCHLINE", "DJANGO"))}
    where, started = ["--data", str(tmp_path / "data")], []

    def run(*words, typed=""):
        if not started:
            call = [sys.executable, "-m", "pitchline.cli", *words, *where]
            first = subprocess.run(call, input=typed, capture_output=True, text=True, check=False, env=kept)  # noqa: S603
            call = [sys.executable, "-c", _ONE_AFTER_ANOTHER]
            pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
            started.append(subprocess.Popen(call, text=True, env=kept, **pipes))  # noqa: S603  ourselves
            return first
        (others,) = started
        others.stdin.write(json.dumps([[*words, *where], typed]) + "\n")
        others.stdin.flush()
        return subprocess.CompletedProcess(words, *json.loads(others.stdout.readline()))

    yield run
    for one in started:
        one.communicate()


def test_people_and_tokens_are_verbs(at_desk):
    """A whole life: added, listed, given a token, the token ended; what cannot be is refused in a shell's words."""
    added = at_desk("people", "add", "ann", typed="correct horse 7\n")
    assert (added.returncode, added.stderr) == (0, "")
    assert added.stdout.startswith("ann can sign in for ")
    again = at_desk("people", "add", "ann", typed="correct horse 7\n")
    assert again.returncode == NOT_USABLE
    assert "name: 'ann' is not allowed; allowed: a name nobody signs in with yet." in again.stderr
    weak = at_desk("people", "add", "bob", typed="secret\n")
    assert weak.returncode == NOT_USABLE
    assert "secret" not in weak.stderr
    at_desk("people", "add", "fitz", "--role", "fitter", typed="correct horse 7\n")
    rows = [line.split("\t") for line in at_desk("people", "list").stdout.splitlines()]
    assert [(name, role) for name, _, role in rows] == [("ann", "owner"), ("fitz", "fitter")]
    made = at_desk("tokens", "add", "ann", "--purpose", "weekly list")
    assert made.stdout.startswith("pitchline-")
    assert len(made.stdout.split()) == 1
    assert made.stderr == "Keep it: it is not shown again.\n"
    listed = at_desk("tokens", "list").stdout.strip().split("\t")
    assert (listed[0], listed[2]) == ("ann", "weekly list")
    assert at_desk("tokens", "end", "ann").stdout == "1 token ended.\n"
    assert at_desk("tokens", "list").stdout == ""
    nobody = at_desk("tokens", "add", "bob")
    assert nobody.returncode == NOT_USABLE
    assert "pitchline people add NAME" in nobody.stderr
