"""Looking for text whatever its case, in any script: SQLite alone knows the case of A to Z only."""

from typing import Any

from django.db import connection
from django.db.models import CharField, Lookup, Q, TextField


class Glob(Lookup):
    """SQLite's own pattern: `*` for anything, letters in brackets for either of them."""

    lookup_name = "glob"

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        """The comparison."""
        left, left_values = self.process_lhs(compiler, connection)
        right, right_values = self.process_rhs(compiler, connection)
        return f"{left} GLOB {right}", (*left_values, *right_values)


CharField.register_lookup(Glob)
TextField.register_lookup(Glob)


def either_case(text: str) -> str:
    """A pattern for SQLite's GLOB that takes every letter in either case.

    Examples
    --------
    >>> either_case("Müh*")
    '[Mm][üÜ][hH][*]'
    """
    return "".join(_either(letter) for letter in text)


def _either(letter: str) -> str:
    cases = [case for case in dict.fromkeys((letter, letter.upper(), letter.lower())) if len(case) == 1]
    return letter if len(cases) == 1 and letter not in "*?[" else f"[{''.join(cases)}]"


def holds(field: str, text: str) -> Q:
    """Where a field holds a text somewhere, whatever the case."""
    if connection.vendor == "sqlite" and not text.isascii():
        return Q(**{f"{field}__glob": f"*{either_case(text)}*"})
    return Q(**{f"{field}__icontains": text})


def reads(field: str, text: str) -> Q:
    """Where a field reads as a text, whatever the case."""
    if connection.vendor == "sqlite" and not text.isascii():
        return Q(**{f"{field}__glob": either_case(text)})
    return Q(**{f"{field}__iexact": text})
