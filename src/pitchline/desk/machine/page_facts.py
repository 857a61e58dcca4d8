"""What other apps know of a machine, for its page: they join when the desk starts, so this app knows none of them."""

from collections.abc import Callable

from pitchline.desk.machine.models import Machine

_TELLS: dict[str, Callable[[Machine], object]] = {}


def tells(what: str, of: Callable[[Machine], object]) -> None:
    """From now on a machine's page asks this function."""
    _TELLS[what] = of


def told(what: str, machine: Machine) -> object:
    """What the app that knows it says; None where no app does."""
    return _TELLS[what](machine) if what in _TELLS else None
