"""Nothing of the core lies on a shelf: every public function is reached from a command, a page or the Python face.

Reached means named, in a body that is reached itself; imports are followed to where a name was made. Methods and properties
are told apart by name alone: one is reached where any reached body, or a template, says its name.
"""

import ast
import re
from collections import defaultdict
from pathlib import Path

import pytest

import pitchline

SOURCE = Path(pitchline.__file__).parent
ROOTS = ("cli", "desk", "face")
ROOMS = {
    "trade", "wear", "shape", "ground", "outlook", "stops", "money", "judge", "verdict", "picture", "papers", "exchange",
    "fleet", "demo",
}  # fmt: skip
DEFS = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)


class Package:
    """Every name that stands at the top of a module, and what each one's body names."""

    def __init__(self, files):
        """`files`: the source of each module by its dotted name."""
        self.trees = {name: ast.parse(text) for name, text in files.items()}
        self.units, self.imports = defaultdict(list), {}
        for module, tree in self.trees.items():
            self.imports[module] = dict(self._imported(module, tree))
            for node in tree.body:
                for name in names_of(node):
                    self.units[module, name].append(node)

    def _imported(self, module, tree):
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module:
                for alias in node.names:
                    whole = f"{node.module}.{alias.name}"
                    target = (whole, "") if whole in self.trees else (node.module, alias.name)
                    yield alias.asname or alias.name, target
            elif isinstance(node, ast.Import):
                for alias in node.names:
                    yield alias.asname or alias.name.split(".")[0], (alias.name, "")

    def reached(self, roots):
        """Every (module, name) that can be reached from the modules among `roots`."""
        found, waiting, opened = set(), [], set()

        def open_module(module):
            parts = module.split(".")
            for end in range(1, len(parts) + 1):
                one = ".".join(parts[:end])
                if one in self.trees and one not in opened:
                    opened.add(one)
                    loose = [node for node in self.trees[one].body if not names_of(node) and not is_import(node)]
                    waiting.extend((one, node) for node in loose)

        def reach(module, name):
            open_module(module)
            if name and (module, name) not in found and (module, name) in self.units:
                found.add((module, name))
                waiting.extend((module, node) for node in self.units[module, name])
            elif name and name in self.imports.get(module, {}):
                reach(*self.imports[module][name])

        for module in roots:
            open_module(module)
            for at, name in list(self.units):
                if at == module:
                    reach(at, name)
            for target in self.imports[module].values():
                reach(*target) if target[1] else open_module(target[0])
        while waiting:
            module, node = waiting.pop()
            for inner in ast.walk(node):
                if isinstance(inner, ast.Name):
                    reach(module, inner.id)
                elif isinstance(inner, ast.Attribute):
                    for end in attribute_of(inner, self.imports[module]):
                        reach(*end)
                elif isinstance(inner, ast.ImportFrom | ast.Import):
                    for alias in inner.names:
                        name = alias.asname or alias.name.split(".")[0]
                        reach(*self.imports[module][name])
        return found

    def unreached(self, roots, rooms):
        """Public functions and classes of some rooms that cannot be reached, as "module:name"."""
        found = self.reached(roots)
        return sorted(
            f"{module}:{name}"
            for (module, name), nodes in self.units.items()
            if module.split(".")[1:2]
            and module.split(".")[1] in rooms
            and not name.startswith("_")
            and isinstance(nodes[0], DEFS)
            and (module, name) not in found
        )

    def unsaid(self, rooms, words=()):
        """Public methods of some rooms' classes whose name nothing reached says, as "module:Class.name"."""
        methods = {
            f"{module}:{holder.name}.{node.name}": node
            for module, tree in self.trees.items()
            if module.split(".")[1:2] and module.split(".")[1] in rooms
            for holder in tree.body
            if isinstance(holder, ast.ClassDef)
            for node in holder.body
            if isinstance(node, DEFS) and not node.name.startswith("_")
        }
        skip = set(methods.values())
        said = set(words).union(*(said_in(tree, skip) for tree in self.trees.values()))
        while live := [key for key, node in methods.items() if node.name in said]:
            for key in live:
                said |= said_in(methods.pop(key), skip)
        return sorted(methods)


def said_in(node, skip):
    """Names of attributes a body says, and short texts that could be one, as in `getattr`; bodies to skip left out."""
    found, waiting = set(), [node]
    while waiting:
        for child in ast.iter_child_nodes(waiting.pop()):
            if child in skip:
                continue
            if isinstance(child, ast.Attribute):
                found.add(child.attr)
            elif isinstance(child, ast.Constant) and isinstance(child.value, str) and child.value.isidentifier():
                found.add(child.value)
            waiting.append(child)
    return found


def is_import(node):
    return isinstance(node, ast.Import | ast.ImportFrom)


def names_of(node):
    """What a statement at the top of a module names."""
    if isinstance(node, DEFS):
        return [node.name]
    if isinstance(node, ast.Assign):
        return [
            one.id
            for target in node.targets
            for one in ast.walk(target)
            if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store)
        ]
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        return [node.target.id]
    return []


def attribute_of(node, imports):
    """Where `module.name` leads, if its beginning is a module that was imported."""
    parts = []
    while isinstance(node, ast.Attribute):
        parts.append(node.attr)
        node = node.value
    if not isinstance(node, ast.Name) or node.id not in imports:
        return
    module, name = imports[node.id]
    if not name:
        parts.reverse()
        for end in range(len(parts)):
            yield ".".join([module, *parts[:end]]), parts[end]


def files_of(source):
    """The source of a package's modules by their dotted names."""
    found = {}
    for path in Path(source).rglob("*.py"):
        parts = [source.name, *path.relative_to(source).with_suffix("").parts]
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path.read_text(encoding="utf-8")
    return found


@pytest.fixture(scope="module")
def package():
    return Package(files_of(SOURCE))


def test_every_public_function_of_the_core_is_reached(package):
    roots = [module for module in package.trees if module == "pitchline" or module.split(".")[1] in ROOTS]
    assert package.unreached(roots, ROOMS) == []


def test_every_public_method_of_the_core_is_called_by_name(package):
    templates = "\n".join(path.read_text(encoding="utf-8") for path in SOURCE.rglob("templates/**/*.*"))
    assert package.unsaid(ROOMS, re.findall(r"\w+", templates)) == []


INVENTED = {
    "p": "",
    "p.cli": "from p import room\nfrom p.wear import depth as deep\ndef main():\n    room.sag()\n    deep()\n",
    "p.room": "from p.wear import Limit\ndef sag():\n    return TABLE['a']\nTABLE = {'a': Limit}\n"
    "def pull():\n    return lost()\n",
    "p.wear": "def depth():\n    return 1\nclass Limit:\n    pass\ndef lost():\n    return lost()\n",
}


def test_what_nobody_names_is_seen_and_what_is_named_is_followed():
    """Through an import by another name, a module's attribute and a table; what only the unreached names is not reached."""
    assert Package(INVENTED).unreached(["p.cli"], {"room", "wear"}) == ["p.room:pull", "p.wear:lost"]


BAR = """
class Bar:
    def _area(self): return self.width
    def width(self): return 1
    def life(self): return self._area()
    def slope(self): return self.slope()
    def steepest(self): return self.slope() + self.root
    @property
    def root(self): return 2
    def tip(self): return 3
"""


def test_a_method_that_only_itself_or_the_unsaid_call_is_seen():
    """A private method counts as called; a template's word does too, and so does a text that names one."""
    files = {"p": "", "p.cli": "def main(bar): return bar.life()", "p.wear": BAR}
    unsaid = ["p.wear:Bar.root", "p.wear:Bar.slope", "p.wear:Bar.steepest"]
    assert Package(files).unsaid({"wear"}, ["tip"]) == unsaid
    files["p.cli"] += " + getattr(bar, 'steepest')"
    assert Package(files).unsaid({"wear"}, ["tip"]) == []
