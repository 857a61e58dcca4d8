"""A class of machine as a page's address names it."""

from pitchline.exchange.figures import exact_number, number_of
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.prices import PriceList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import MachineKind
from pitchline.words import translated

_GEAR = "gear:"


def key_of(which: MachineClass) -> str:
    """The class in one short text; empty for every machine.

    Examples
    --------
    >>> key_of(MachineClass(MachineKind.DOZER, 12e3, 28e3)), key_of(MachineClass(mass_from_kg=28e3))
    ('dozer:12000:28000', ':28000:')
    """
    if which == EVERY:
        return ""
    if which.gear:
        return _GEAR + which.gear
    ends = (which.mass_from_kg, which.mass_under_kg)
    return ":".join([which.kind or "", *("" if end is None else exact_number(end) for end in ends)])


def class_in(key: str) -> MachineClass:
    """The class a text names.

    Raises
    ------
    NotAllowedError
        It names none.
    """
    if not key:
        return EVERY
    if key.startswith(_GEAR) and key != _GEAR:
        return MachineClass(gear=key.removeprefix(_GEAR))
    bits = key.split(":")
    if len(bits) != 3 or bits[0] not in ("", *MachineKind):
        step = translated("Choose one of those on the page Prices.")
        raise NotAllowedError("for which machines", key, "a class of machine, or an entry of the gear list", step)
    ends = [number_of(bit, "mass", 7000.0) if bit else None for bit in bits[1:]]
    return MachineClass(MachineKind(bits[0]) if bits[0] else None, ends[0], ends[1])


def classes_on(prices: PriceList | None) -> tuple[MachineClass, ...]:
    """Every class a list has prices or figures for: all machines first, then families, masses, and the gear list."""
    found = {EVERY}
    if prices is not None:
        found |= {line.which for line in prices.lines} | {one.which for one in prices.figures}
        found |= {one.which for one in prices.owning}
    return tuple(sorted(found, key=_in_order))


def _in_order(which: MachineClass) -> tuple[bool, bool, str, float, str]:
    begins = which.mass_from_kg or 0.0
    return bool(which.gear), which.by_mass or which.kind is not None, which.kind or "", begins, which.gear
