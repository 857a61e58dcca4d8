"""Whether the running gear is what is said of its machine, as a page or paper tells it."""

from dataclasses import dataclass

from pitchline.trade.machine import MachineKind
from pitchline.trade.saying import saying, then
from pitchline.verdict import Verdict
from pitchline.words import say

LIKE = 0.5
"""Chance from which it is said what the running gear is like [1]: an assumption."""


@dataclass(frozen=True, slots=True)
class ToldIdentity:
    """Which machine a running gear is from.

    Parameters
    ----------
    headline : str
        What speaks against what is said, or that nothing does.
    facts : tuple of str
        What the running gear says by itself.
    odd : tuple of (str, str)
        Each odd part, and what tells whether it is.
    against : tuple of str
        What is said and not borne out, after the first.
    footing : str
        That it is assumed and moves nothing.
    """

    headline: str
    facts: tuple[str, ...]
    odd: tuple[tuple[str, str], ...]
    against: tuple[str, ...]
    footing: str

    @property
    def is_odd(self) -> bool:
        """Whether anything is."""
        return bool(self.odd or self.against)


def told_identity(verdict: Verdict) -> ToldIdentity | None:
    """The identity of a running gear in words.

    Returns
    -------
    ToldIdentity or None
        None where nothing can be said, or in a verdict of an earlier version.
    """
    found = verdict.identity
    if found is None:
        return None
    facts = []
    likely = max(found.kinds, key=lambda one: one[1], default=None)
    if likely is not None and likely[1] >= LIKE and likely[0] is not MachineKind.OTHER_TRACKED:
        facts.append(saying("whose.is_like", kind=likely[0], chance=likely[1], clues=found.clues))
    if found.width is not None:
        width_m, mass_kg = verdict.gear.shoe_width_m, verdict.machine.mass_kg
        facts.append(saying(f"whose.width_{found.width.value}", width_m=width_m, mass_kg=mass_kg))
    if not (facts or found.against or found.odd):
        return None
    against = tuple(say(one) for one in found.against)
    return ToldIdentity(
        against[0] if against else say(saying("whose.odd" if found.odd else "whose.agrees")),
        tuple(say(one) for one in facts or [saying("whose.not_told")]),
        tuple((say(one.said), say(one.look)) for one in found.odd),
        against[1:],
        say(saying("whose.footing")),
    )


def odd_in_short(verdict: Verdict, with_look: bool = False) -> list[str]:
    """What speaks against what is said of a running gear, and what on it is odd; for a workshop with what tells whether it is."""
    found = verdict.identity
    if found is None:
        return []
    odd = (say(then(one.said, one.look) if with_look else one.said) for one in found.odd)
    return [*map(say, found.against), *odd]
