"""A stop instance of one machine while it is being written."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from pitchline.judge.bridged import Done, Passing, Turning
from pitchline.stops.instance import Component, Rule
from pitchline.trade.saying import Saying


@dataclass(slots=True)
class Draft:
    """What is planned so far; the parts of a machine add themselves to it.

    Parameters
    ----------
    components : list of Component
        Parts.
    rules : list of Rule
        What goes together.
    done, named, members, passing, early_per_h, turning : dict
        As in `Bridged`; losses in [currency] and [currency/h].
    left_out, guessed : list of Saying
        Parts not planned, and why; parts planned though nobody read them.
    renewals, not_before, turn_by, stop_by : dict
        As in `Bridged`; the first in [currency].
    """

    components: list[Component] = field(default_factory=list)
    rules: list[Rule] = field(default_factory=list)
    done: dict[tuple[str, str], Done | None] = field(default_factory=dict)
    named: dict[str, Saying] = field(default_factory=dict)
    members: dict[str, tuple[int, ...]] = field(default_factory=dict)
    passing: dict[str, Passing] = field(default_factory=dict)
    early_per_h: dict[str, float] = field(default_factory=dict)
    turning: dict[str, Turning] = field(default_factory=dict)
    left_out: list[Saying] = field(default_factory=list)
    guessed: list[Saying] = field(default_factory=list)
    renewals: dict[tuple[str, int], tuple[float, ...]] = field(default_factory=dict)
    not_before: dict[tuple[str, str, int], int] = field(default_factory=dict)
    turn_by: dict[str, int] = field(default_factory=dict)
    stop_by: dict[tuple[str, int], int] = field(default_factory=dict)

    def add(
        self,
        part: Component,
        named: Saying,
        members: tuple[int, ...],
        passing: Passing,
        early_per_h: float,
        renewals: Sequence[tuple[float, ...]],
    ) -> None:
        """Put a part in.

        Parameters
        ----------
        part : Component
            The part.
        named : Saying
            What it is called.
        members : tuple of int
            Places among the outlook's parts behind it.
        passing : Passing
            Loss when its limit is passed.
        early_per_h : float
            What an hour of life thrown away costs [currency/h].
        renewals : sequence of tuple of float
            For each stage, how much of each step's loss is for new parts [currency].
        """
        self.components.append(part)
        self.named[part.name] = named
        self.members[part.name], self.passing[part.name] = members, passing
        self.early_per_h[part.name] = early_per_h
        self.renewals |= {(part.name, stage): some for stage, some in enumerate(renewals)}

    def stops_by(self, part: str, stage: int, step: int | None) -> None:
        """Note the last step of a stage before it would be called stop.

        Parameters
        ----------
        part : str
            Its word.
        stage : int
            From 0.
        step : int or None
            From the stage's begin; None where it never would.
        """
        if step is not None:
            self.stop_by[part, stage] = step
