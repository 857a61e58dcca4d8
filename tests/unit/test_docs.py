"""The docs keep up with the code: every word is decided, every table is true, every link and command leads somewhere."""

import argparse
import json
import re
from pathlib import Path

import pytest

from pitchline import __version__
from pitchline.cli import parser
from pitchline.exchange.machine_file import machine_from_json, machine_schema
from pitchline.trade.assumed_limits import NEVER, RULES
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import LineShape
from pitchline.trade.findings import CONSEQUENCES, COUNTED, Finding, FindingKind, Severity, why_it_matters
from pitchline.trade.jobs import SOURCES, Caution, JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.past_limit import PAST_LIMIT
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.saying import saying
from pitchline.words import say
from pitchline.words.cautions import caution_text, title
from pitchline.words.names import named, several

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PAGES = sorted([*ROOT.glob("*.md"), *DOCS.rglob("*.md")])
LINK = re.compile(r"(?<!`)!?\[[^\]]*\]\(([^)\s]+)\)")
SOURCE = ROOT / "src" / "pitchline"


def page(name):
    return (DOCS / name).read_text(encoding="utf-8")


def names(path):
    return path.relative_to(ROOT).as_posix()


def tables():
    """What each generated table has to say, by page and mark."""
    yard_calls = [
        "| Finding | On | slight | clear | severe | A stop | Because |",
        "|---|---|---|---|---|---|---|",
    ]
    parts = ["| Finding | Key | Seen on | Job when slight | Job when worse |", "|---|---|---|---|---|"]
    for kind in FindingKind:
        leads = CONSEQUENCES[kind]
        for grade in leads.grades:
            on = ", ".join(several(part) for part in grade.parts)
            calls = " | ".join(call.value for call in grade.calls)
            about = named(grade.stake) if Call.STOP in grade.calls else ""
            yard_calls.append(f"| {named(kind)} | {on} | {calls} | {about} | {say(why_it_matters(kind))} |")
        seen_on = ", ".join(several(part) for part in leads.parts)
        parts.append(f"| {named(kind)} | `{kind}` | {seen_on} | {named(leads.slight_job)} | {named(leads.job)} |")
    past = ["| Part | Past its limit | Call | What it is | Because |", "|---|---|---|---|---|"]
    for (part, measurand), row in PAST_LIMIT.items():
        label = named(measurand)
        past.append(
            f"| {several(part)} | {label} | {row.call} | {named(row.stake)} | {say(saying(row.because))} |"
        )
    bolts = ["| Bolts of | Missing | Loose |", "|---|---|---|"]
    for part in CONSEQUENCES[FindingKind.MISSING_BOLTS].parts:
        place = Place(part, Side.LEFT if PARTS[part].sided else Side.NONE, int(PARTS[part].numbered))
        borders = [say(Finding(place, kind, Severity.SLIGHT).border) for kind in COUNTED]
        bolts.append(f"| {several(part)} | {borders[0]} | {borders[1]} |")
    tools = ["| Name | Tool | Resolution | Permitted error | Repeatability |", "|---|---|---|---|---|"]
    for tool in DEFAULT_TOOLS.values():
        sizes = (tool.resolution_m, tool.permitted_error_m, tool.repeatability_m)
        figures = " | ".join(f"{size * 1e3:g} mm" for size in sizes)
        tools.append(f"| `{tool.name}` | {tool.label} | {figures} |")
    cautions = ["| Caution | What to do and not to do | Source |", "|---|---|---|"]
    cautions += [f"| {title(one)} | {caution_text(one)} | {SOURCES[one]} |" for one in Caution]
    assumed = ["| Part | Quantity | May wear away | Give or take | Where it comes from |", "|---|---|---|---|---|"]
    for (part, measurand), rule in RULES.items():
        words = several(part), named(measurand)
        shares = f"{100 * rule.share:g} % of the new size", f"{100 * rule.doubt:g} % of that"
        assumed.append(f"| {' | '.join((*words, *shares))} | {say(rule.told)} |")
    never = ["| Part | Quantity | Why none |", "|---|---|---|"]
    for (part, measurand), code in NEVER.items():
        never.append(f"| {several(part)} | {named(measurand)} | {say(saying(code))} |")
    return {
        ("explanation/assumed-limits.md", "assumed"): assumed,
        ("explanation/assumed-limits.md", "never"): never,
        ("explanation/calls.md", "calls"): yard_calls,
        ("explanation/calls.md", "past"): past,
        ("reference/findings.md", "findings"): parts,
        ("reference/findings.md", "bolts"): bolts,
        ("reference/tools.md", "tools"): tools,
        ("explanation/safety.md", "cautions"): cautions,
    }


@pytest.mark.parametrize(("name", "mark"), list(tables()))
def test_table_says_what_the_code_says(name, mark):
    stands = re.search(rf"<!-- {mark}:begin[^>]*-->\n(.*?)\n?<!-- {mark}:end -->", page(name), re.DOTALL)
    assert stands is not None
    wanted = "\n".join(tables()[name, mark])
    assert stands[1] == wanted, f"\n{name} should hold:\n{wanted}"


@pytest.mark.parametrize("word", [*Measurand, *PartKind, *FindingKind, *Severity, *JobKind, *Call, *Caution])
def test_glossary_decides_every_word_by_its_key(word):
    assert re.search(rf"^\|.*`{word.value}`.*\|$", page("glossary.md"), re.MULTILINE)


@pytest.mark.parametrize(
    ("key", "label"),
    [
        *(
            (word.value, named(word))
            for kind in (Measurand, PartKind, FindingKind, JobKind, Call, Stake)
            for word in kind
        ),
        *((caution.value, title(caution)) for caution in Caution),
    ],
)
def test_glossary_and_code_use_the_same_word(key, label):
    plural_in_code = {"bushes": "bush", "shoes": "shoe", "rubber pads": "rubber pad", "guards": "guard"}
    rows = re.findall(
        rf"^\| (.+?) \| `{key}` \|", page("glossary.md"), re.MULTILINE
    )  # a part and a caution may share a key
    assert plural_in_code.get(label, label) in rows


def test_glossary_names_every_machine():
    assert [named(kind) for kind in MachineKind if named(kind) not in page("glossary.md")] == []


@pytest.mark.parametrize("path", PAGES, ids=names)
def test_relative_links_resolve(path):
    text = re.sub(r"```.*?```", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    links = [link for link in LINK.findall(text) if not re.match(r"[a-z]+:|#", link)]
    assert [link for link in links if not (path.parent / link.split("#")[0]).exists()] == []


def commands(parser):
    """Each command of the command line, with its options and those of its verbs."""
    (found,) = verbs(parser)
    return {
        name: set(sub._option_string_actions).union(
            *(one._option_string_actions for action in verbs(sub) for one in action.choices.values())
        )
        for name, sub in found.choices.items()
    }


def verbs(parser):
    return [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]


def shell_lines(text):
    """Lines that call pitchline: in shell blocks, in indented blocks, and in code between ticks."""
    blocks = "\n".join(
        re.findall(r"```sh\n(.*?)```", text, re.DOTALL) + re.findall(r"^    \S.*$", text, re.MULTILINE)
    )
    inline = "\n".join(re.findall(r"`((?:\.venv/bin/)?pitchline [^`\n]+)`", text))
    calls = re.findall(r"^\s*(?:\.venv/bin/)?pitchline (.+)$", blocks + "\n" + inline, re.MULTILINE)
    return [call.split("#")[0].split() for call in calls]


@pytest.mark.parametrize("path", PAGES, ids=names)
def test_commands_named_in_docs_exist_with_their_options(path):
    known = commands(parser())
    for words in shell_lines(path.read_text(encoding="utf-8")):
        command = words[0].rstrip(":,.")
        assert command in known or command.startswith("--"), f"pitchline {' '.join(words)}"
        options = {word.split("=")[0] for word in words[1:] if word.startswith("--")}
        assert options <= known.get(command, set()), f"pitchline {' '.join(words)}"


def test_how_to_judge_names_every_option_of_judging():
    text = page("howto/judge-a-machine.md")
    missing = commands(parser())["judge"] - {"-h", "--help"}
    assert {option for option in missing if option not in text} == set()


def test_how_to_fit_the_ground_names_every_option():
    text = page("howto/fit-the-ground.md")
    assert {option for option in commands(parser())["ground"] - {"-h", "--help"} if option not in text} == set()


def test_examples_of_limits_read_and_keys_are_known():
    """The how-to's entries, put into the reference page's machine, are read as they stand."""
    (whole,) = re.findall(r"```json\n(.*?)```", page("reference/machine-file.md"), re.DOTALL)
    machine, text = json.loads(whole), page("howto/enter-your-limits.md")
    entries = [json.loads(block) for block in re.findall(r"```json\n(.*?)```", text, re.DOTALL)]
    machine["limits"] = [entry for entry in entries if "limit" in entry]
    machine["ranges"] = [entry for entry in entries if "least" in entry]
    read = machine_from_json(json.dumps(machine), "how-to")
    assert (len(read.limits), len(read.ranges)) == (2, 1)
    named = set(re.findall(r"^\| `(\w+)` \|", text, re.MULTILINE))
    assert named
    assert named <= set(machine_schema()["$defs"]["LimitEntry"]["properties"])
    assert [shape.value for shape in LineShape if f"`{shape.value}`" not in text] == []


def test_make_targets_named_in_docs_exist():
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    for path in PAGES:
        named = re.findall(r"(?:`|^\s*)make ([a-z]+)(?:`|\s)", path.read_text(encoding="utf-8"), re.MULTILINE)
        assert set(named) <= targets, names(path)


def test_architecture_names_every_room_and_no_other():
    listed = set(re.findall(r"^\| `([a-z]+)(?:/|\.py)` \|", page("architecture.md"), re.MULTILINE))
    rooms = {path.stem for path in SOURCE.iterdir() if not path.name.startswith(("_", "cli_", "py."))}
    assert listed == rooms


def test_import_orders_on_the_page_are_the_ones_that_are_checked():
    orders = re.findall(r"^    ((?:cli|serve) → .+)$", page("architecture.md"), re.MULTILINE)
    settings = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    rooms, apps = (
        re.findall(r'"([^"]+)"', one) for one in re.findall(r"^layers = \[\n(.*?)\n\]", settings, re.M | re.S)
    )
    assert [order.split(" → ") for order in orders] == [rooms, [*apps[:-1], "the base"]]


@pytest.mark.parametrize("path", PAGES, ids=names)
def test_files_named_on_a_page_are_there(path):
    text = path.read_text(encoding="utf-8")
    room_files = re.findall(
        r"`((?:trade|wear|shape|ground|outlook|stops|money|judge|exchange|papers|demo|desk|desk/[a-z]+)/[a-z_]+\.(?:py|json))`",
        text,
    )
    root_files = re.findall(r"`((?:tests|docs|scripts|bench|src)/[\w/.-]+)`", text)
    missing = [name for name in room_files if not (SOURCE / name).exists()]
    missing += [name for name in root_files if not (ROOT / name).exists()]
    assert missing == []


def test_the_top_release_of_the_changelog_is_this_version():
    releases = re.findall(
        r"^## (\S+) - (\d{4}-\d\d-\d\d)$", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert releases[0][0] == __version__
    assert releases == sorted(releases, key=lambda one: [int(part) for part in one[0].split(".")], reverse=True)
    assert [day for _, day in releases] == sorted((day for _, day in releases), reverse=True)


def test_the_file_that_is_installed_is_called_by_this_version():
    named = {
        wheel for path in PAGES for wheel in re.findall(r"pitchline-(\S+?)-py3", path.read_text(encoding="utf-8"))
    }
    assert named - {"VERSION"} == {__version__}
