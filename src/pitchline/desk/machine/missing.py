"""What is missing of a machine, and what entering it would unlock."""

from dataclasses import dataclass

from pitchline.trade.dossier import Dossier


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing not entered yet.

    Parameters
    ----------
    what, unlocks, goal, button : str
        The thing, what it gives, the name of the address where it is entered, and the button's word.
    """

    what: str
    unlocks: str
    goal: str
    button: str


def missing_of(
    dossier: Dossier | None, walked: bool, priced: bool, in_book: bool, draft: bool = False
) -> tuple[Missing, ...]:
    """What is missing, in the order it is best entered; the gear list is offered where anything is in it."""
    if dossier is None:
        parts = "the drawing, the walk-round form with exactly this machine's parts, and the blank sheet to print"
        book = "the same at once, with its sizes and limits, where another machine has it already"
        of_its_own = Missing("running gear", parts, "gear", "Enter the running gear")
        return (
            of_its_own,
            Missing("a running gear from your gear list", book, "from-book", "Choose from the gear list"),
        )[: 1 + in_book]
    found = []
    if not dossier.limits:
        unlocks = "life used, hours left and calls; without limits only what is seen leads to a call"
        found.append(Missing("new sizes and wear limits", unlocks, "limits", "Enter sizes and limits"))
    if not walked:
        begin = Missing("a first walk-round", "the verdict", "begin", "Begin a walk-round")
        go_on = Missing("the walk-round that is not finished", "the verdict", "go-on", "Go on with it")
        found.append(go_on if draft else begin)
    if dossier.utilisation is None:
        unlocks = "days beside the hours, and the booking window"
        found.append(Missing("hours a week", unlocks, "outlook", "Enter the hours a week"))
    if not dossier.ground_entered:
        unlocks = "narrower ranges: ground is taken as middling until it is entered"
        found.append(Missing("usual ground", unlocks, "outlook", "Enter the usual ground"))
    if not priced:
        found.append(
            Missing("a price list", "money, quote and what the running gear is worth", "prices", "Enter prices")
        )
    return tuple(found)
