"""Writes every text a language has to say as one gettext template: `scripts/translations.py pitchline.pot`."""

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

from pitchline.words import english
from pitchline.words.labels import all_labels

SRC = Path(__file__).parent.parent / "src/pitchline"
Text = str | tuple[str, str]
_SAID_BESIDE = re.compile(r"""\bsay\(\s*"((?:[^"\\]|\\.)*)\"""")


def sentences() -> Iterator[tuple[Text, str]]:
    """Sentences by their code."""
    for topic in iter_modules(english.__path__):
        for name, text in import_module(f"{english.__name__}.{topic.name}").SENTENCES.items():
            yield text, f"words/english/{topic.name}.py: {name}"


def labels() -> Iterator[tuple[Text, str]]:
    """What things are called."""
    yield from ((text, "words/labels.py") for text in all_labels())


def in_python() -> Iterator[tuple[Text, str]]:
    """What is handed to `translated`, `worded`, `in_english`, `later` and `counted` as it stands."""
    for file in sorted(SRC.rglob("*.py")):
        where = str(file.relative_to(SRC))
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            either = [way for one in node.args for way in _branches(one)]
            texts = [one.value for one in either if isinstance(one, ast.Constant) and isinstance(one.value, str)]
            if name in ("translated", "in_english", "later", "worded", "phrase") and texts:
                yield from ((text, where) for text in texts)
            elif name in ("NotAllowedError", "Problem", "refuse"):
                yield from ((text, where) for text in texts if text)
            elif name == "counted" and len(texts) == 2:
                yield (texts[0], texts[1]), where


def _branches(node: ast.expr) -> tuple[ast.expr, ...]:
    return (*_branches(node.body), *_branches(node.orelse)) if isinstance(node, ast.IfExp) else (node,)


def in_templates() -> Iterator[tuple[Text, str]]:
    """Runs of words of the desk's pages."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pitchline.desk.settings")
    import django

    django.setup()
    from django.template.loader import get_template

    from pitchline.desk.spoken import SpokenNode

    for file in sorted(SRC.rglob("templates/**/*.html")):
        name = str(file).split("/templates/", 1)[1]
        found = get_template(name).template.nodelist.get_nodes_by_type(SpokenNode)
        yield from ((node.words, str(file.relative_to(SRC))) for node in found)


def said_beside() -> Iterator[tuple[Text, str]]:
    """What typst templates and scripts of pages hand to their own `say`."""
    for kind in ("*.typ", "*.js"):
        for file in sorted(SRC.rglob(kind)):
            for found in _SAID_BESIDE.finditer(file.read_text(encoding="utf-8")):
                yield ast.literal_eval(f'"{found[1]}"'), str(file.relative_to(SRC))


def everything_said() -> Catalog:
    """Everything that is said, each text once, with where it stands."""
    whole = Catalog(project="pitchline", charset="utf-8")
    for text, where in (*sentences(), *labels(), *in_python(), *in_templates(), *said_beside()):
        whole.add(text, locations=[(where, 0)])
    return whole


if __name__ == "__main__":
    with Path(sys.argv[1]).open("wb") as file:
        write_po(file, everything_said(), width=120, omit_header=False, include_lineno=False)
