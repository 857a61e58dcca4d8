"""For which machines a price holds: all, a class by family or mass, or those with one entry of the gear list."""

from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import MachineKind
from pitchline.trade.units import show_mass
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class PricedMachine:
    """What of a machine decides which prices are its own.

    Parameters
    ----------
    kind : MachineKind or None
        Family; None where it is not known.
    mass_kg : float or None
        Operating mass [kg]; None where it is not known, and then no price by mass is its own.
    gear : tuple of str
        Names of the gear list's entry it is fitted with, the one it has now first; empty where it has none.
    """

    kind: MachineKind | None = None
    mass_kg: float | None = None
    gear: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MachineClass:
    """The machines a price is for; with nothing said, all of them.

    Parameters
    ----------
    kind : MachineKind or None
        One family; None for all.
    mass_from_kg, mass_under_kg : float or None
        Operating mass from this, below that [kg], above zero; None for no end.
    gear : str
        An entry of the gear list, which then stands alone; empty for all.

    Raises
    ------
    NotAllowedError
        A range of mass that holds nothing, or a gear list entry beside a class.
    """

    kind: MachineKind | None = None
    mass_from_kg: float | None = None
    mass_under_kg: float | None = None
    gear: str = ""

    def __post_init__(self) -> None:
        for field, mass_kg in (("mass from", self.mass_from_kg), ("mass under", self.mass_under_kg)):
            if mass_kg is not None and not 0 < mass_kg < float("inf"):
                raise NotAllowedError(field, f"{as_figure(mass_kg, 'g')} kg", "a mass above 0")
        if None not in (self.mass_from_kg, self.mass_under_kg) and not self._from_kg < self._under_kg:
            seen = phrase(
                "from {from_kg}, under {under_kg}",
                from_kg=show_mass(self._from_kg),
                under_kg=show_mass(self._under_kg),
            )
            raise NotAllowedError("mass under", seen, "more than where the class begins")
        if self.gear and (self.kind is not None or self.by_mass):
            step = "Leave family and mass empty, or the gear list."
            raise NotAllowedError("gear list", self.gear, "an entry by itself, or a class of machine", step)

    @property
    def _from_kg(self) -> float:
        return self.mass_from_kg or 0.0

    @property
    def _under_kg(self) -> float:
        return self.mass_under_kg if self.mass_under_kg is not None else float("inf")

    @property
    def by_mass(self) -> bool:
        """Whether a mass decides."""
        return self.mass_from_kg is not None or self.mass_under_kg is not None

    @property
    def rank(self) -> int:
        """How close it comes to one machine: 0 for all, then family, mass, both, and the gear list's entry."""
        return 4 if self.gear else 2 * self.by_mass + (self.kind is not None)

    def nearness(self, machine: PricedMachine) -> tuple[int, int]:
        """How close it comes to a machine that is one of them: its rank, and of names an entry had the newest.

        Parameters
        ----------
        machine : PricedMachine
            The machine.
        """
        return self.rank, -machine.gear.index(self.gear) if self.gear else 0

    def holds(self, machine: PricedMachine) -> bool:
        """Whether a machine is one of them.

        Parameters
        ----------
        machine : PricedMachine
            The machine.

        Examples
        --------
        >>> middle = MachineClass(mass_from_kg=12e3, mass_under_kg=28e3)
        >>> [middle.holds(PricedMachine(mass_kg=mass_kg)) for mass_kg in (11999.0, 12e3, 28e3, None)]
        [False, True, False, False]
        """
        if self.gear:
            return self.gear in machine.gear
        if self.kind not in (None, machine.kind):
            return False
        return not self.by_mass or (
            machine.mass_kg is not None and self._from_kg <= machine.mass_kg < self._under_kg
        )

    def overlaps(self, other: "MachineClass") -> bool:
        """Whether two classes of one rank could both be a machine's own, so that nobody could say which price is.

        Parameters
        ----------
        other : MachineClass
            Another one.
        """
        if (self.rank, self.kind, self.gear) != (other.rank, other.kind, other.gear):
            return False
        return self._from_kg < other._under_kg and other._from_kg < self._under_kg


EVERY = MachineClass()
"""All machines."""
