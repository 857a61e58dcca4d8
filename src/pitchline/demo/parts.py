"""An invented table of parts for the demo yard: parts of its machines under made-up numbers, with bolt spacings beside them."""

from pitchline.demo.yard import DemoMachine, Yard
from pitchline.match.from_machine import parts_of_gear
from pitchline.match.parts import Part
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind

NOTE = "invented for the demo yard; no maker's part"
_BOLTED = {PartKind.BOTTOM_ROLLER: (1.0, 1.1), PartKind.UPPER_ROLLER: (0.9, 0.7), PartKind.SHOE: (0.7, 0.75)}
"""Bolt spacings along and across, as shares of the machine's pitch: made up, as everything here."""


def demo_parts(yard: Yard) -> tuple[Part, ...]:
    """The parts of every machine of a yard, each with a number that says nothing.

    Parameters
    ----------
    yard : Yard
        The yard.
    """
    return tuple(part for machine in yard.machines for part in _of_one(machine))


def _of_one(machine: DemoMachine) -> list[Part]:
    gear = machine.dossier.gear
    found = []
    for n, one in enumerate(parts_of_gear("demo", gear, machine.dossier.limits), 1):
        along, across = (round(share * gear.pitch_m, 3) for share in _BOLTED.get(one.part, (0.0, 0.0)))
        bolted = {PartSize.BOLTS_ALONG: along, PartSize.BOLTS_ACROSS: across} if along else {}
        number = f"made-up {machine.number:02}-{n}"
        found.append(Part(number, one.part, {**one.sizes, **bolted}, one.allowances_m, NOTE))
    return found
