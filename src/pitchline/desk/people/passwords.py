"""Passwords that are long and still guessed at once."""

from itertools import pairwise

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from pitchline.words import translated

FEWEST = 5
"""Different letters a password has: our own choice."""


class NotGuessed:
    """Refuses figures alone, few letters over and over, rows of neighbours, and one's own name."""

    def validate(self, password: str, user: User | None = None) -> None:
        """Nothing comes out.

        Raises
        ------
        ValidationError
            It is one of those that are tried first.
        """
        plain = password.casefold()
        name = user.get_username().casefold() if user is not None else ""
        rest = plain.replace(name, "") if len(name) > 2 else plain
        runs = sum(abs(ord(one) - ord(next_one)) <= 1 for one, next_one in pairwise(plain))
        if plain.isdecimal() or len(set(plain)) < FEWEST or len(set(rest)) < FEWEST or runs > len(plain) * 0.6:
            raise ValidationError(translated("It is among the first that are tried. Take a few words in a row."))

    def get_help_text(self) -> str:
        """What it asks."""
        return translated("Not figures alone, not one's own name, no letters in a row.")
