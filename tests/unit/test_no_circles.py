"""No circle of imports: not between modules, not between rooms, not between apps of the desk; imports inside functions count."""

from graphlib import CycleError, TopologicalSorter

import grimp
import pytest

DESK = "pitchline.desk."


@pytest.fixture(scope="module")
def imports() -> dict[str, set[str]]:
    """Each module, and the modules it imports anywhere in it."""
    graph = grimp.build_graph("pitchline", exclude_type_checking_imports=True, cache_dir=None)
    return {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}


def room_of(module: str) -> str:
    """A room, or an app of the desk."""
    return ".".join(module.split(".")[: 3 if module.startswith(DESK) else 2])


def circle_in(imports: dict[str, set[str]]) -> list[str]:
    """One circle, as the names one goes through; empty where there is none."""
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_a_circle_is_found():
    assert circle_in({"a": {"b"}, "b": {"c"}, "c": set()}) == []
    assert set(circle_in({"a": {"b"}, "b": {"a"}, "c": set()})) == {"a", "b"}


def test_imports_inside_functions_are_seen(imports):
    assert "pitchline.desk.crew" in imports["pitchline.desk.serve"]


def test_no_circle_of_modules(imports):
    assert circle_in(imports) == []


def test_no_circle_of_rooms_and_apps(imports):
    rooms: dict[str, set[str]] = {}
    for module, imported in imports.items():
        rooms.setdefault(room_of(module), set()).update(room_of(one) for one in imported)
    assert circle_in({room: there - {room} for room, there in rooms.items()}) == []
