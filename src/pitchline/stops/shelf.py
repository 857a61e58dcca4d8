"""What of an order list lies on the yard's shelf, and which lay-up it is promised to: each piece once, the soonest first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from pitchline.stops.order import OrderLine, OrderList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.parts import PartKind, Place

_P = PartKind
SHELVED = (
    _P.CHAIN, _P.SHOE, _P.PAD, _P.RUBBER_TRACK, _P.BOTTOM_ROLLER, "roller_one_flange", "roller_two_flanges",
    _P.UPPER_ROLLER, _P.IDLER, _P.SPROCKET, "sprocket_segment", _P.TRACK_ADJUSTER, _P.FINAL_DRIVE, _P.SLEW_RING,
    "shoe_bolt", "pad_bolt", "set_of_seals",
)  # fmt: skip
"""What can lie on a shelf: parts by their kind, and what an order list calls otherwise by the name of its line."""
_BY_LINE = {"shoe": "shoe", "rubber_pad": "pad", "chain": "chain", "chain_of_type": "chain"}


@dataclass(frozen=True, slots=True)
class Stock:
    """Pieces of one kind on the shelf.

    Parameters
    ----------
    item : str
        Which entry of the shelf.
    what : str
        One of `SHELVED`.
    count : int
        How many, from 0.
    gear : str
        The running gear of the gear list they are for; empty where nobody said, and then they are promised to no machine.
    depot : str
        The depot they lie at; empty where that is not said.

    Raises
    ------
    NotAllowedError
        A count below 0, or something no shelf holds.
    """

    item: str
    what: str
    count: int
    gear: str
    depot: str = ""

    def __post_init__(self) -> None:
        if self.count < 0:
            raise NotAllowedError("count", self.count, "0 or more")
        if self.what not in SHELVED:
            raise NotAllowedError("what", self.what, ", ".join(SHELVED))

    def suits(self, want: "Want") -> bool:
        """Whether it is for that machine, and lies where it stands."""
        same = self.what == want.what and bool(self.gear) and self.gear == want.gear
        return same and self.depot in ("", want.depot)


@dataclass(frozen=True, slots=True)
class Want:
    """Pieces of one kind that something takes.

    Parameters
    ----------
    what : str
        One of `SHELVED`.
    count : int
        How many.
    gear : str
        The running gear of the gear list the machine has; empty where it has none of it.
    depot : str
        Where the machine stands; empty where that is not said.
    """

    what: str
    count: int
    gear: str
    depot: str = ""


def shelved_as(line: OrderLine) -> str:
    """What a line of an order list is called on the shelf; empty for what no shelf holds.

    Parameters
    ----------
    line : OrderLine
        A line to order.
    """
    name = line.words.code.removeprefix("order.")
    if name == "part":
        return str(line.words.values["part"])
    name = _BY_LINE.get(name, name)
    return name if name in SHELVED else ""


def wants_of(order: OrderList, done: frozenset[Place] = frozenset()) -> dict[str, int]:
    """How many of each an order list takes from a shelf.

    Parameters
    ----------
    order : OrderList
        The list.
    done : frozenset of Place
        Places at which the work was done meanwhile: their share is no longer wanted.
    """
    found: dict[str, int] = {}
    for line in order.parts:
        what = shelved_as(line)
        if not what or not line.count or not line.places:
            continue
        left = sum(place not in done for place in line.places)
        if left:
            found[what] = found.get(what, 0) + -(-line.count * left // len(line.places))
    return found


def allot(stock: Sequence[Stock], wants: Iterable[Want]) -> list[dict[str, int]]:
    """What each gets of the shelf, in turn; no piece goes to two.

    Parameters
    ----------
    stock : sequence of Stock
        The shelf.
    wants : iterable of Want
        Who takes, the first in turn first.

    Returns
    -------
    list of dict of str to int
        For each want, pieces by entry of the shelf; an entry that gives nothing is left out. What is bound to the
        machine's depot is taken before what is bound to none.
    """
    left = {one.item: one.count for one in stock}
    order = sorted(stock, key=lambda one: (not one.depot, one.item))
    found = []
    for want in wants:
        mine: dict[str, int] = {}
        needed = want.count
        for one in order:
            taken = min(needed, left[one.item]) if one.suits(want) else 0
            if taken > 0:
                mine[one.item] = taken
                left[one.item] -= taken
                needed -= taken
        found.append(mine)
    return found


def with_shelf(order: OrderList, there: Mapping[str, int]) -> OrderList:
    """An order list that says of each counted line how many lie on the shelf.

    Parameters
    ----------
    order : OrderList
        The list.
    there : mapping of str to int
        Pieces that are free for it, by what they are called on the shelf.

    Returns
    -------
    OrderList
        Lines no shelf holds, and those nobody counted, are as they were; two lines of one thing share what is there.
    """
    left = dict(there)
    lines = []
    for line in order.parts:
        what = shelved_as(line)
        if not what or line.count is None:
            lines.append(line)
            continue
        taken = min(line.count, left.get(what, 0))
        left[what] = left.get(what, 0) - taken
        lines.append(replace(line, on_shelf=taken))
    return replace(order, parts=tuple(lines))
