"""Did you mean: the nearest of the names there are."""

from collections.abc import Collection
from difflib import get_close_matches

from pitchline.words import translated, worded


def nearest(typed: str, known: Collection[str]) -> list[str]:
    """Up to three names like the one typed, the nearest first."""
    return get_close_matches(typed[:200], known, 3, 0.75)


def did_you_mean(typed: str, known: Collection[str], otherwise: str) -> str:
    """What to do about a name nobody knows: the nearest, or `otherwise`."""
    near = nearest(typed, known)
    return worded("Did you mean {names}?", names=", ".join(near)) if near else translated(otherwise)
