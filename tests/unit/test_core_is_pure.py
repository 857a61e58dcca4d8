"""The core keeps its hands off files, screen, clock and global state. What it may import is import-linter's business."""

import ast
import re
from pathlib import Path

import pytest

import pitchline

CORE = ("trade", "wear", "shape", "ground", "outlook", "stops", "money", "judge", "verdict.py")
SOURCE = Path(pitchline.__file__).parent
MODULES = sorted(
    path for room in CORE for path in ([SOURCE / room] if room.endswith(".py") else (SOURCE / room).rglob("*.py"))
)
CALLS = {"open", "print", "input", "exec", "eval", "compile", "__import__", "breakpoint"}
CLOCKS = {"now", "today", "utcnow"}
CHANGERS = {"append", "add", "update", "extend", "insert", "pop", "clear", "remove", "discard", "setdefault"}
SEEDED = {"default_rng", "Generator", "PCG64", "SeedSequence", "BitGenerator"}


def module_names(tree):
    """Names a module binds at its top level."""
    found = set()
    for node in tree.body:
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        found |= {target.id for target in targets if isinstance(target, ast.Name)}
    return found


def root_name(node):
    """The name at the left end of something like NAME.a[0].b."""
    while isinstance(node, ast.Attribute | ast.Subscript):
        node = node.value
    return node.id if isinstance(node, ast.Name) else None


def impurities_of_call(call, shared):
    name, words = call.func, ast.unparse(call.func)
    if isinstance(name, ast.Name) and name.id in CALLS:
        yield f"{words}() is called"
    if isinstance(name, ast.Attribute) and name.attr in CLOCKS:
        yield f"{words}() asks the time"
    drawn = re.fullmatch(r"(?:np|numpy)\.random\.(\w+)", words)
    if drawn and drawn[1] not in SEEDED:
        yield f"{words}() draws from global state"
    if words.endswith("default_rng") and not call.args and not call.keywords:
        yield "default_rng() without a seed"
    if isinstance(name, ast.Attribute) and name.attr in CHANGERS and root_name(name.value) in shared:
        yield f"{words}() changes a module's own value"


def impurities(source):
    """What in a module's source touches files, screen, clock or global state, each with its line."""
    tree = ast.parse(source)
    shared = module_names(tree)
    for node in ast.walk(tree):
        said = []
        if isinstance(node, ast.Global):
            said = [f"global {', '.join(node.names)}"]
        if isinstance(node, ast.Call):
            said = list(impurities_of_call(node, shared))
        if isinstance(node, ast.Attribute | ast.Subscript) and isinstance(node.ctx, ast.Store | ast.Del):
            said = [f"{ast.unparse(node)} is assigned"] if root_name(node) in shared else []
        yield from (f"line {node.lineno}: {words}" for words in said)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(SOURCE).as_posix())
def test_core_module_is_pure(path):
    assert list(impurities(path.read_text(encoding="utf-8"))) == []


def test_every_core_room_is_there():
    assert {path.relative_to(SOURCE).parts[0] for path in MODULES} == set(CORE)


@pytest.mark.parametrize(
    "source",
    [
        "def f():\n    return open('x')",
        "def f():\n    print(1)",
        "import datetime as dt\ndef f():\n    return dt.date.today()",
        "import datetime as dt\ndef f():\n    return dt.datetime.now(dt.UTC)",
        "SEEN = {}\ndef f():\n    global SEEN\n    SEEN = 1",
        "SEEN = {}\ndef f(key):\n    SEEN[key] = 1",
        "SEEN: list[int] = []\ndef f():\n    SEEN.append(1)",
        "import numpy as np\ndef f():\n    return np.random.normal()",
        "import numpy as np\ndef f():\n    return np.random.default_rng()",
    ],
)
def test_checker_sees(source):
    assert len(list(impurities(source))) == 1


def test_checker_lets_honest_code_pass():
    source = "import numpy as np\nLIVES = {1: 2.0}\ndef f(seed):\n    own = [LIVES[1]]\n    own.append(3.0)\n"
    assert list(impurities(source + "    return np.random.default_rng(seed).normal(own)")) == []
