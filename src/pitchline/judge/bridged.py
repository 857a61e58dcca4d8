"""A machine as a stop instance, with what each part and job of the instance is on the machine.

See docs/explanation/plan-of-a-machine.md.
"""

from dataclasses import dataclass, field

from pitchline.stops.instance import StopInstance
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import Place


@dataclass(frozen=True, slots=True)
class Done:
    """What a job of an instance is on the machine.

    Parameters
    ----------
    kind : JobKind
        What is done.
    place : Place
        Where.
    pieces : int
        How many pieces it takes, from 1.
    """

    kind: JobKind
    place: Place
    pieces: int


@dataclass(frozen=True, slots=True)
class Bridged:
    """A machine as a stop instance.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    done : dict of (str, str) to Done or None
        What each job of each part is on the machine; None where another part's job stands for it.
    members : dict of str to tuple of int
        Places among the outlook's parts behind each part of the instance.
    passing : dict of str to (float, float)
        Loss when a part's limit is passed, at once [currency] and for each hour past it [currency/h].
    left_out : tuple of str
        Parts that are not planned for, and why.
    assumed : tuple of str
        What had to be assumed, in sentences.
    forced : frozenset of str
        Parts that have to be renewed before the machine works again.
    unforced : StopInstance or None
        The same instance without the loss that makes every plan renew them.
    early_per_h : dict of str to float
        What an hour of life thrown away costs, by part [currency/h].
    turning : dict of str to Turning
        For bushes on their first face: what is lost past the turn point.
    standing_per_h : tuple of float
        What an hour of the machine standing costs at each step [currency/h].
    apart : tuple of str
        Parts whose left and right are planned apart, and why.
    """

    instance: StopInstance
    done: dict[tuple[str, str], Done | None]
    members: dict[str, tuple[int, ...]]
    passing: dict[str, tuple[float, float]]
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    forced: frozenset[str] = frozenset()
    unforced: StopInstance | None = None
    early_per_h: dict[str, float] = field(default_factory=dict)
    turning: dict[str, "Turning"] = field(default_factory=dict)
    standing_per_h: tuple[float, ...] = ()
    apart: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Turning:
    """What bushes lose that are turned too late.

    Parameters
    ----------
    member : int
        Place of the forward face among the outlook's parts.
    lost_per_h : float
        Loss for each hour past the turn point, up to the limit [currency/h].
    rest_h : float
        Hours from the turn point to the limit, as expected [h].
    """

    member: int
    lost_per_h: float
    rest_h: float
