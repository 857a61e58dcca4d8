"""Writes every text a language has to say as one gettext template: `scripts/translations.py pitchline.pot`."""

import argparse
import ast
import os
import re
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po

from pitchline.exchange import machine_model
from pitchline.ground.soils import GROUNDS
from pitchline.papers import workbook
from pitchline.shape.sizes import PROPORTIONS
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.words import english
from pitchline.words.catalogue import NOTHING
from pitchline.words.labels import all_labels

SRC = Path(__file__).parent.parent / "src/pitchline"
Text = str | tuple[str, str]
_SAID_BESIDE = re.compile(r"""\bsay\(\s*"((?:[^"\\]|\\.)*)\"""")
_IN_A_TAG = re.compile(r"""\|or_say:"([^"]+)"|\{%\s*why\s+"([^"]+)"|[{ ]with\s[^%]*?\w+="([^"]*[a-z][^"]*)\"""")
"""Words handed to a filter or a tag of a template."""
REFUSES = frozenset(
    (
        "Problem", "NotAllowedError", "RefusedError", "refuse", "Told", "Change", "Missing", "Http404", "not_found",
        "check_length", "number_of", "count_of", "date_of", "plain_text", "text_of", "machine_from_json", "unknown_ground",
        "_number", "add", "_refuse", "_within", "_take_once", "check_money", "_other_than", "_too_many", "_set_feed", "size_of",
    )
)  # fmt: skip
"""What is handed over in English and said when it is shown: names of fields, what would be allowed, and what to do now."""
_READS = frozenset(("each", "hint", "Number", "Allowed", "look_up"))
"""The same, where files are read."""
DJANGO = (
    "forms/fields.py",
    "forms/models.py",
    "core/validators.py",
    "contrib/auth/forms.py",
    "contrib/auth/password_validation.py",
    "template/defaultfilters.py",
)
"""Modules of Django whose texts a person at the desk may see."""


def all_heads() -> tuple[str, ...]:
    """Every name of a workbook's sheet and head of a column in English."""
    tables = (workbook.JOB_COLUMNS, workbook.STOP_COLUMNS, workbook.ORDER_COLUMNS, workbook.WORTH_COLUMNS)
    columns = (column for table in (*tables, workbook.BID_COLUMNS, workbook.ABOUT_COLUMNS) for column in table)
    return (*workbook.TITLES, *columns, workbook.ADDED)


def sentences() -> Iterator[tuple[Text, str]]:
    """Sentences by their code."""
    for topic in iter_modules(english.__path__):
        for name, text in import_module(f"{english.__name__}.{topic.name}").SENTENCES.items():
            yield text, f"words/english/{topic.name}.py: {name}"


def labels() -> Iterator[tuple[Text, str]]:
    """What things are called."""
    yield from ((text, "words/names.py") for text in all_labels())
    yield from ((text, "shape/sizes.py") for text in (*PROPORTIONS, "idler diameter"))
    yield from ((text, "papers/workbook.py") for text in all_heads())
    for entry in vars(machine_model).values():
        if isinstance(entry, type) and issubclass(entry, machine_model.Entry):
            yield from ((name.replace("_", " "), "exchange/machine_model.py") for name in entry.model_fields)
    yield from ((text, "trade/errors.py") for text in (*(NotAllowedError.__init__.__defaults__ or ()), NOTHING))
    yield from ((tool.label, "trade/readings.py") for tool in DEFAULT_TOOLS.values())
    yield from (
        (name.removeprefix(sort), "ground/soils.py") for name in GROUNDS for sort in ("", "moist ", "wet ")
    )
    yield from ((sort, "ground/soils.py") for sort in ("moist", "wet"))


def in_python() -> Iterator[tuple[Text, str]]:
    """What is handed to `translated`, `worded`, `in_english`, `later` and `counted` as it stands."""
    for file in sorted(SRC.rglob("*.py")):
        where = str(file.relative_to(SRC))
        tree = ast.parse(file.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            texts = [text for one in node.args for text in _constants(one)]
            if name in ("translated", "in_english", "later", "worded", "phrase"):
                yield from ((text, where) for text in texts)
            elif name == "counted" and len(texts) == 2:
                yield (texts[0], texts[1]), where
        refuses = REFUSES | _READS if where.startswith("exchange/") else REFUSES
        for scope in (tree, *(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))):
            yield from ((text, where) for text in _refused_in(scope, refuses))


def _refused_in(scope: ast.AST, refuses: frozenset[str]) -> Iterator[str]:
    """Texts handed to what refuses, as they stand or by a name given to them here."""
    named: dict[str, list[ast.expr]] = {}
    for node in ast.walk(scope):
        if isinstance(node, ast.Assign):
            for target, value in zip(*map(_apart, (node.targets[0], node.value)), strict=False):
                if isinstance(target, ast.Name):
                    named.setdefault(target.id, []).append(value)
    for node in ast.walk(scope):
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in refuses:
            handed = (*node.args, *(one.value for one in node.keywords if one.arg in ("what", "field")))
            for one in handed:
                for text in (
                    text for value in named.get(getattr(one, "id", ""), [one]) for text in _constants(value)
                ):
                    if re.search("[a-z]{2}", text):
                        yield text


def _apart(node: ast.expr) -> list[ast.expr]:
    return node.elts if isinstance(node, ast.Tuple) else [node]


def _constants(node: ast.expr) -> list[str]:
    """A text, or the two of a choice."""
    if isinstance(node, ast.IfExp):
        return _constants(node.body) + _constants(node.orelse)
    if isinstance(node, ast.BoolOp):
        return [text for one in node.values for text in _constants(one)]
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def of_django() -> Iterator[tuple[Text, str]]:
    """What Django itself tells a person."""
    import django

    for name in DJANGO:
        for node in ast.walk(ast.parse((Path(django.__file__).parent / name).read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            called, texts = getattr(node.func, "id", ""), [text for one in node.args for text in _constants(one)]
            if called in ("_", "gettext") and texts:
                yield texts[0], f"django/{name}"
            elif called in ("ngettext", "ngettext_lazy"):
                yield (texts[0], texts[1]), f"django/{name}"


def of_argparse() -> Iterator[tuple[Text, str]]:
    """What the parser of commands says by itself."""
    for node in ast.walk(ast.parse(Path(argparse.__file__).read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("_", "ngettext"):
            texts = [text for one in node.args for text in _constants(one)]
            if texts:
                yield texts[0] if len(texts) == 1 else (texts[0], texts[1]), "argparse.py"


def in_templates() -> Iterator[tuple[Text, str]]:
    """Runs of words of the desk's pages."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pitchline.desk.settings")
    import django

    django.setup()
    from django.template.loader import get_template

    from pitchline.desk.spoken import SpokenNode

    for file in sorted(SRC.rglob("templates/**/*.html")):
        name = str(file).split("/templates/", 1)[1]
        where = str(file.relative_to(SRC))
        found = get_template(name).template.nodelist.get_nodes_by_type(SpokenNode)
        yield from ((node.words, where) for node in found)
        for tag in _IN_A_TAG.finditer(file.read_text(encoding="utf-8")):
            yield next(filter(None, tag.groups())), where


def said_beside() -> Iterator[tuple[Text, str]]:
    """What typst templates and scripts of pages hand to their own `say`."""
    from pitchline.desk.script_words import said_in

    for file in sorted(SRC.rglob("*.typ")):
        for found in _SAID_BESIDE.finditer(file.read_text(encoding="utf-8")):
            yield ast.literal_eval(f'"{found[1]}"'), str(file.relative_to(SRC))
    for file in sorted(SRC.rglob("static/**/*.js")):
        if ".min." not in file.name:
            yield from ((text, str(file.relative_to(SRC))) for text in said_in(file.read_text(encoding="utf-8")))


def everything_said() -> Catalog:
    """Everything that is said, each text once, with where it stands."""
    whole = Catalog(project="pitchline", charset="utf-8")
    for text, where in (
        *sentences(),
        *labels(),
        *in_python(),
        *in_templates(),
        *said_beside(),
        *of_django(),
        *of_argparse(),
    ):
        whole.add(text, locations=[(where, 0)])
    return whole


if __name__ == "__main__":
    with Path(sys.argv[1]).open("wb") as file:
        write_po(file, everything_said(), width=120, omit_header=False, include_lineno=False)
