"""For which machines a price is, in words."""

from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.trade.units import UnitSystem, show_mass
from pitchline.trade.writing import as_figure
from pitchline.words import translated, worded
from pitchline.words.labels import label


def class_said(which: MachineClass, units: UnitSystem = UnitSystem.METRIC) -> str:
    """A class of machine, such as "dozer, 12 t to under 28 t"."""
    if which == EVERY:
        return translated("every machine")
    if which.gear:
        return which.gear
    bits = [label(which.kind)] if which.kind is not None else []
    low, high = (
        _mass(mass_kg, units) if mass_kg is not None else None
        for mass_kg in (which.mass_from_kg, which.mass_under_kg)
    )
    if low and high:
        bits.append(worded("{low} to under {high}", low=low, high=high))
    elif low:
        bits.append(worded("{low} and over", low=low))
    elif high:
        bits.append(worded("under {high}", high=high))
    return ", ".join(bits)


def _mass(mass_kg: float, units: UnitSystem) -> str:
    """Whole tonnes without a decimal, as a class is spoken of."""
    if units is UnitSystem.METRIC and mass_kg >= 1000 and mass_kg % 1000 == 0:
        return f"{as_figure(mass_kg / 1000, 'g')} t"
    return show_mass(mass_kg, units)
