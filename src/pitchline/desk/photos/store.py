"""Files in the data folder under hashed names; never in a folder that is served."""

import hashlib
from dataclasses import replace
from pathlib import Path

from django.conf import settings

from pitchline.desk.people.models import Business
from pitchline.exchange.safe_write import write_whole
from pitchline.trade.errors import InputError


def put(business: Business, content: bytes) -> str:
    """The name the content is kept under: a hash of business and content, so that nobody can guess it from the file."""
    name = hashlib.sha256(settings.SECRET_KEY.encode() + business.pk.bytes + content).hexdigest()
    path = path_of(name)
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        try:
            write_whole(path, content)
        except InputError as error:  # its name there says nothing to whoever sent it
            raise InputError(tuple(replace(one, file="") for one in error.problems)) from None
    return name


def path_of(name: str) -> Path:
    """Where a name lies."""
    return Path(settings.DATA) / "files" / name[:2] / name


def drop(name: str) -> None:
    """Nothing comes out; afterwards the file is gone."""
    path_of(name).unlink(missing_ok=True)
