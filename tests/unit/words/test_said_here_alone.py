"""No sentence is made elsewhere: prose that a reader may see is in the catalogue.

What stands outside the room of words passes through it (`translated`, `worded`, `phrase` and so on), which the catalogue is
made from; prose that is not in it was glued together or forgotten.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from translations import SRC, everything_said

PROSE = re.compile(r"(?:^|[\s(“])[a-zA-Z][a-z’']+(?: [a-zA-Z’'-]+){2,}")
"""Three words or more."""
OF_PROGRAMMERS = frozenset(
    (
        "AssertionError", "AttributeError", "TypeError", "ValueError", "RuntimeError", "TemplateSyntaxError", "compile",
        "_LOG.debug", "_LOG.error", "_LOG.exception",
    )
)  # fmt: skip
"""What is raised at a mistake in the code, and the log."""
NAMES_OF_WAYS = frozenset(("tells", "told", "undoes", "remember", "WorkDone"))
"""What is handed over by a name of the code's own."""
ELSEWHERE = {
    "words/": "the room itself",
    "desk/api/": "the reference of the API is in English, as its names are",
    "exchange/machine_model.py": "the schema of a file is in English",
    "exchange/machine_values.py": "the schema of a file is in English",
    "demo/": "an invented yard, typed by us",
    "money/owning.py": "heads of the price list",
    "trade/jobs.py": "where cautions come from: titles of what was published",
    "cli/completion.py": "a script for a shell",
    "desk/piece_cache.py": "SQL",
    "desk/fragment_cache.py": "a mistake in a template",
    "desk/drawing.py": "a style sheet",
    "desk/running/": "figures and log of whoever runs the desk",
    "desk/workplan/feed.py": "the head of a calendar",
    "exchange/yard_columns.py": "what columns hold: the reference is in English, as their names are",
    "desk/tables/sql_views.py": "SQL",
}
"""Where prose stands that nobody is told in a language, and why."""
ARE_DATA = {
    "cost of the work due, ": "columns of a list",
    "cost of the work due, low": "a column", "cost of the work due, usual": "a column",
    "cost of the work due, high": "a column", "running gear worth now, cautious": "a column before",
    "running gear worth now, middle": "a column before", "running gear worth now, hopeful": "a column before",
    "asking price in": "a column", "hours carried on": "a column", "parts looked at": "a column", "parts in all": "a column",
    "falls due first": "a column", "labour per hour": "a head of the price list",
    "part changed without a record": "a column of a fleet", "a reading far from the rest": "a column of a fleet",
    "all readings of one walk-round off together": "a column of a fleet", "ground other than recorded": "a column of a fleet",
    "wore faster than predicted": "a word of a fleet's audit", "wore slower than predicted": "a word of a fleet's audit",
    "worth left in it, ": "a column of a workbook", "not let in": "why, for the app on a phone",
    "disk is full": "SQLite's", "unable to open": "SQLite's", "not a database": "SQLite's",
    "SELECT name FROM sqlite_master WHERE type = 'table'": "SQL",
    "SELECT DISTINCT app FROM django_migrations": "SQL",
    "Expecting property name": "Python's", "Illegal trailing comma": "Python's", "Invalid control character": "Python's",
    "Input should be ": "pydantic's", " or instance of ": "pydantic's",
    "was each one measured?": "said by verdicts before", "look far off": "said by verdicts before",
    ", not looked over since": "a note in a file, which is read again", ") (\\d{4}), not looked over since\\Z": "the same",
    "{} shoes bolted on": "a name inside a plan", "assumed for plausibility": "the source of a line nobody sees",
    "line dash thick": "names of a drawing's styles", "decided on by ": "for a programmer",
    "This pitchline desk": "a name in a certificate",
    " is not allowed; allowed: ": "a refusal as a programmer sees it",
    "bush outside diameter": "a field, by its code", "depth of the flat": "a field", "height worn off": "a field",
    "deviation of the reading": "a field",
    "cost of labour": "a field of the core, looked up",
    "cost of parts": "a field of the core, looked up",
}  # fmt: skip
"""Words of files and of other programs."""


def _inside(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> Iterator[str]:
    """What a text is handed to, from inside out, as far as its function or class."""
    while node in parents and not isinstance(node, ast.FunctionDef | ast.ClassDef):
        node = parents[node]
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            yield called if called.startswith("_LOG.") else called.rpartition(".")[2]


def _prose_of(file: Path) -> Iterator[tuple[int, str]]:
    """Texts of a module that nobody marked: neither docstrings, nor what only programmers see, nor examples of commands."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    parents = {inner: outer for outer in ast.walk(tree) for inner in ast.iter_child_nodes(outer)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str) or not PROSE.search(node.value):
            continue
        is_command = re.match(r"(pitchline|cat|pass|eval) ", node.value) is not None
        handed = set(_inside(node, parents))
        if isinstance(parents[node], ast.Expr) or is_command or handed & (OF_PROGRAMMERS | NAMES_OF_WAYS):
            continue
        yield node.lineno, node.value


@pytest.fixture(scope="module")
def catalogue() -> set[str]:
    """Every text that is said, each form of one that counts."""
    ids = [message.id for message in everything_said() if message.id]
    return {text for one in ids for text in (one if isinstance(one, tuple) else (one,))}


def test_a_forgotten_sentence_is_found(tmp_path: Path) -> None:
    file = tmp_path / "one.py"
    file.write_text(
        'def f(n):\n    """Docs of a function."""\n    _LOG.debug("only in the log")\n'
        '    return f"{n} jobs cost more than that"\n'
    )
    assert list(_prose_of(file)) == [(4, " jobs cost more than that")]


def test_no_sentence_is_made_elsewhere(catalogue: set[str]) -> None:
    found = []
    for file in sorted(SRC.rglob("*.py")):
        where = file.relative_to(SRC).as_posix()
        if where.startswith(tuple(ELSEWHERE)) or "/migrations/" in where:
            continue
        found += [
            f"{where}:{line}: {text}"
            for line, text in _prose_of(file)
            if text not in catalogue and text not in ARE_DATA
        ]
    assert found == []
