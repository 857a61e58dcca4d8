"""Docstrings of the core tell the truth: names as in the signature, a unit for each number, a shape for each array.

The walk is over source text, so a docstring is held against exactly what stands below it.
"""

import ast
import re
from dataclasses import dataclass
from pathlib import Path

import docstring_parser
import pytest
from docstring_parser.common import DocstringStyle

import pitchline

CORE = ("trade", "wear", "shape", "ground", "outlook", "stops", "money", "judge", "verdict.py")
SOURCE = Path(pitchline.__file__).parent
MODULES = sorted(
    path for room in CORE for path in ([SOURCE / room] if room.endswith(".py") else (SOURCE / room).rglob("*.py"))
)
FLOAT = re.compile(r"\b(float|FloatArray|Floats|ArrayLike|NDArray)\b")
ARRAY = re.compile(r"\b(FloatArray|IntArray|BoolArray|Floats|ArrayLike|NDArray|ndarray)\b")
UNIT = re.compile(r"\[(?!\s*[-\d.]+\s*,)[^\[\]]+\]")  # [m], [1], [g/t]; not a range such as [0, 1]
SHAPE = re.compile(r"shapes? \(|\(rows, ")
RITUAL = re.compile(r"(Definition\.|Our own\.|See the class\.)?$")
EXEMPT_BASES = re.compile(r"(Enum|Flag|Exception|Error|Warning|Protocol)$")
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


@dataclass(frozen=True)
class Told:
    """One docstring, and the source it stands in."""

    where: str
    node: ast.AST
    text: str

    @property
    def parsed(self):
        return docstring_parser.parse(self.text, DocstringStyle.NUMPYDOC)

    def params(self):
        """Each documented name with everything said of it."""
        for param in self.parsed.params:
            said = f"{param.type_name or ''} {param.description or ''}"
            yield from ((name.strip().lstrip("*"), said) for name in param.arg_name.split(","))


def annotation(node):
    return ast.unparse(node) if node is not None else ""


def decorators(node):
    return [ast.unparse(one) for one in node.decorator_list]


def arguments(function):
    """Names and annotations in the order of the signature, without self."""
    spec = function.args
    named = [*spec.posonlyargs, *spec.args, *([spec.vararg] if spec.vararg else []), *spec.kwonlyargs]
    named += [spec.kwarg] if spec.kwarg else []
    return [(one.arg, annotation(one.annotation)) for one in named if one.arg not in ("self", "cls")]


def fields(klass):
    """Fields of a dataclass; else what __init__ takes."""
    if any("dataclass" in one for one in decorators(klass)):
        lines = [line for line in klass.body if isinstance(line, ast.AnnAssign)]
        return [
            (line.target.id, annotation(line.annotation)) for line in lines if not line.target.id.startswith("_")
        ]
    made = [one for one in klass.body if isinstance(one, FUNCTIONS) and one.name == "__init__"]
    return arguments(made[0]) if made else []


def raised(node):
    """Exception classes raised directly in a body, or in the making of a class."""
    bodies = [node]
    if isinstance(node, ast.ClassDef):
        bodies = [
            one for one in node.body if isinstance(one, FUNCTIONS) and one.name in ("__init__", "__post_init__")
        ]
    nodes = [inner for body in bodies for inner in ast.walk(body) if isinstance(inner, ast.Raise) and inner.exc]
    called = [inner.exc.func if isinstance(inner.exc, ast.Call) else inner.exc for inner in nodes]
    return {ast.unparse(one).split(".")[-1] for one in called}


def gaps_of_figure(what, kind, said):
    counts = re.search(r"array_like of (int|str|bool)", said)  # ArrayLike alone does not say what stands in it
    if FLOAT.search(kind) and not counts and not UNIT.search(said):
        yield f"{what}: no unit in square brackets"
    if ARRAY.search(kind) and not SHAPE.search(said):
        yield f"{what}: no shape"


def is_figure(kind):
    return bool(FLOAT.search(kind) or ARRAY.search(kind))


def gaps_of_names(told, wanted):
    names = [name for name, _ in told.params()]
    if not names and not any(is_figure(kind) for _, kind in wanted):
        return  # names and types say it all
    if names != [name for name, _ in wanted]:
        yield f"documented {names}, but the signature has {[name for name, _ in wanted]}"
    said = dict(told.params())
    for name, kind in wanted:
        yield from gaps_of_figure(name, kind, said[name]) if name in said else ()


def gaps_of_sections(told):
    source = re.search(r"^References\n-{3,}\n((?:.+\n?)*)", told.text, re.MULTILINE)
    if source and RITUAL.match(" ".join(source[1].split())):
        yield "References without a source: leave the section out"
    listed = {one.type_name for one in told.parsed.raises}
    for missing in sorted(raised(told.node) - listed):
        yield f"raises {missing}, which Raises does not list"


def gaps_of_returns(told):
    kind = annotation(told.node.returns)
    found = told.parsed.many_returns
    if kind in ("None", "") or kind.startswith("Iterator"):
        return
    if not found:
        if is_figure(kind):
            yield "no Returns section"
        return
    said = " ".join(f"{one.type_name or ''} {one.description or ''}" for one in found)
    yield from gaps_of_figure("what is returned", kind, said)


def gaps_of_property(told):
    yield from gaps_of_figure("property", annotation(told.node.returns), told.text)


def gaps_of(told):
    """Everything a docstring leaves out or gets wrong."""
    if not told.text:
        yield "no docstring"
    elif isinstance(told.node, ast.ClassDef):
        yield from gaps_of_names(told, fields(told.node))
        yield from gaps_of_sections(told)
    elif any("property" in one for one in decorators(told.node)):
        yield from gaps_of_property(told)
    else:
        yield from gaps_of_names(told, arguments(told.node))
        yield from gaps_of_returns(told)
        yield from gaps_of_sections(told)


def is_exempt(klass):
    return any(EXEMPT_BASES.search(ast.unparse(base)) for base in klass.bases)


def told_in(tree, where):
    """Every public function, class and method of a module, in order."""
    for node in tree.body:
        if isinstance(node, (*FUNCTIONS, ast.ClassDef)) and not node.name.startswith("_"):
            name = f"{where}:{node.lineno} {node.name}"
            if isinstance(node, ast.ClassDef):
                if is_exempt(node):
                    continue
                members = [one for one in node.body if isinstance(one, FUNCTIONS) and not one.name.startswith("_")]
                yield from (
                    Told(f"{where}:{one.lineno} {node.name}.{one.name}", one, ast.get_docstring(one) or "")
                    for one in members
                )
            yield Told(name, node, ast.get_docstring(node) or "")


def gaps(source, where):
    """Readable lines: where, and what is wrong there."""
    return [f"{told.where}: {gap}" for told in told_in(ast.parse(source), where) for gap in gaps_of(told)]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(SOURCE).as_posix())
def test_docstrings_match_signatures(path):
    found = gaps(path.read_text(encoding="utf-8"), path.relative_to(SOURCE).as_posix())
    assert not found, "\n" + "\n".join(found)


WRONG = '''
def depth_m(reading_m: FloatArray, width_m: float, kind: Kind) -> FloatArray:
    """Depth worn off.

    Parameters
    ----------
    width_m : float
        Width, inside [0, 1].
    reading_m : ndarray
        Readings [m].

    Returns
    -------
    ndarray, shape (n,)
        Depth.

    References
    ----------
    Definition.
    """
    if width_m < 0:
        raise NotAllowedError("width", width_m, "0 or more")
    return reading_m
'''
RIGHT = '''
def depth_m(reading_m: FloatArray, least_m: float, most_m: float, kind: Kind) -> FloatArray:
    """Depth worn off.

    Parameters
    ----------
    reading_m : ndarray, shape (n,)
        Readings [m].
    least_m, most_m : float
        Bounds [m].
    kind : Kind
        What is read.

    Returns
    -------
    ndarray, shape (n,)
        Depth [m].

    Raises
    ------
    NotAllowedError
        A bound below zero.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7.
    """
    if least_m < 0:
        raise NotAllowedError("bound", least_m, "0 or more")
    return reading_m
'''


def test_checker_sees_every_fault_of_a_wrong_function():
    assert [line.removeprefix("wrong.py:2 depth_m: ") for line in gaps(WRONG, "wrong.py")] == [
        "documented ['width_m', 'reading_m'], but the signature has ['reading_m', 'width_m', 'kind']",
        "reading_m: no shape",
        "width_m: no unit in square brackets",
        "what is returned: no unit in square brackets",
        "References without a source: leave the section out",
        "raises NotAllowedError, which Raises does not list",
    ]


def test_checker_lets_a_right_function_pass():
    assert gaps(RIGHT, "right.py") == []


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        (RIGHT.replace("least_m, most_m : float", "least_m, most_m, most_m : float"), "documented"),
        (RIGHT.replace("Returns\n    -------\n    ndarray, shape (n,)\n        Depth [m].\n\n", ""), "no Returns"),
        ("@dataclass\nclass Size:\n    new_m: float\n", "no docstring"),
        ("class Size:\n    @property\n    def new_m(self) -> float:\n        '''New size.'''\n", "no unit"),
    ],
)
def test_checker_sees(text, wrong):
    assert any(wrong in line for line in gaps(text, "text.py"))


@pytest.mark.parametrize(
    "text",
    [
        "class Kind(StrEnum):\n    A = 'a'\n",
        "class OddError(ValueError):\n    pass\n",
        "class Curve(Protocol):\n    def life(self, depth_m: float) -> float: ...\n",
        "def _private(depth_m: float) -> float:\n    return depth_m\n",
    ],
)
def test_checker_exempts(text):
    assert gaps(text, "text.py") == []
