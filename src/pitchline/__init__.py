"""pitchline: what a tracked machine's running gear has left.

Each name is loaded when it is first asked for, so that importing the package costs nothing. See docs/reference/python.md.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pitchline.face import (
        Drawing,
        InputError,
        NotAllowedError,
        draw_machine,
        fit_to_ground,
        judge_machine,
        outlook_table,
        parts_table,
        read_machine,
        read_prices,
    )

__version__ = "0.8.0"
__all__ = [
    "Drawing",
    "InputError",
    "NotAllowedError",
    "draw_machine",
    "fit_to_ground",
    "judge_machine",
    "outlook_table",
    "parts_table",
    "read_machine",
    "read_prices",
]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module 'pitchline' has no attribute {name!r}")
    found: object = getattr(
        import_module("pitchline.face"), name
    )  # by its name, as every room imports this module
    return found


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
