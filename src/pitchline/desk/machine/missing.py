"""What is missing of a machine, and what entering it would unlock."""

from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.desk.people.rights import asked_by_address
from pitchline.trade.dossier import Dossier
from pitchline.words import translated


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
        parts = translated(
            "the drawing, the walk-round form with exactly this machine's parts, and the blank sheet to print"
        )
        book = translated("the same at once, with its sizes and limits, where another machine has it already")
        of_its_own = Missing(translated("running gear"), parts, "gear", translated("Enter the running gear"))
        return (
            of_its_own,
            Missing(
                translated("a running gear from your gear list"),
                book,
                "from-book",
                translated("Choose from the gear list"),
            ),
        )[: 1 + in_book]
    found = []
    if not dossier.limits:
        unlocks = translated("life used, hours left and calls; without limits only what is seen leads to a call")
        found.append(
            Missing(
                translated("new sizes and wear limits"), unlocks, "limits", translated("Enter sizes and limits")
            )
        )
    if not walked and not draft:  # one that is not finished is offered beside the machine's name
        unlocks = translated("the verdict")
        found.append(Missing(translated("a first walk-round"), unlocks, "begin", translated("Begin a walk-round")))
    if dossier.utilisation is None:
        unlocks = translated("days beside the hours, and the booking window")
        found.append(Missing(translated("hours a week"), unlocks, "outlook", translated("Enter the hours a week")))
    if not dossier.ground_entered:
        unlocks = translated("narrower ranges: ground is taken as middling until it is entered")
        found.append(Missing(translated("usual ground"), unlocks, "outlook", translated("Enter the usual ground")))
    if not priced:
        found.append(
            Missing(
                translated("a price list"),
                translated("money, quote and what the running gear is worth"),
                "prices",
                translated("Enter prices"),
            )
        )
    return tuple(found)


_SENT_TO = {"outlook": "keep-outlook"}


def may_enter(missing: Iterable[Missing], rights: frozenset[str]) -> tuple[Missing, ...]:
    """Those that somebody with these rights may enter: nobody is shown a button that leads to a refusal."""
    return tuple(one for one in missing if asked_by_address(_SENT_TO.get(one.goal, one.goal), "POST") in rights)
