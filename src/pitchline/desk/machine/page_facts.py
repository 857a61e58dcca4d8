"""What other apps know of a machine or its yard, for their pages: they join when the desk starts; this app knows none."""

from collections.abc import Callable
from typing import Any

_TELLS: dict[str, Callable[[Any], object]] = {}


def tells(what: str, of: Callable[[Any], object]) -> None:
    """From now on the page of a machine, or of the yard, asks this function."""
    _TELLS[what] = of


def told(what: str, about: object) -> object:
    """What the app that knows it says of a machine, or of a business; None where no app does."""
    return _TELLS[what](about) if what in _TELLS else None
