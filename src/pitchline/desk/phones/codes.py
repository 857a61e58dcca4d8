"""The code that lets one phone ask to come in: eight letters, told apart by eye and ear, of which nothing is kept but a mark."""

import hmac
import re
import secrets

from django.conf import settings

from pitchline.desk.machine.sheet_code import LETTERS

LENGTH = 8
_APART = re.compile(r"[\s\-–.]")


def new_code() -> str:
    """A code nobody can foresee."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


def shown(code: str) -> str:
    """A code as it is read out, in two halves.

    Examples
    --------
    >>> shown("BCDFGHJK")
    'BCDF-GHJK'
    """
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"


def typed_code(text: str) -> str:
    """A code as somebody typed it, small or large, with or without its mark; empty where it can be none.

    Examples
    --------
    >>> typed_code(" bcdf ghjk"), typed_code("BCDF-GHJA")
    ('BCDFGHJK', '')
    """
    code = _APART.sub("", text).upper()
    return code if len(code) == LENGTH and set(code) <= set(LETTERS) else ""


def mark_of(secret: str) -> str:
    """What is kept of a code or of a phone's secret: nobody who reads the database can send it."""
    return hmac.new(settings.SECRET_KEY.encode(), secret.encode(), "sha256").hexdigest()
