"""Which method a verdict was made by: the rooms that judge, as they stand here, in one short text.

A version is moved by hand and forgotten; a digest of the source moves with every change that could move a figure.
"""

import hashlib
from functools import cache
from pathlib import Path

import numpy
import scipy

import pitchline

ROOMS = ("trade", "wear", "shape", "ground", "outlook", "stops", "money", "judge", "verdict.py")
"""Every room a figure of a verdict passes."""


@cache
def method_digest() -> str:
    """The same as long as neither the rooms that judge nor the libraries that reckon for them have changed."""
    root = Path(pitchline.__file__).parent
    told = hashlib.sha256(f"numpy {numpy.__version__} scipy {scipy.__version__}".encode())
    for room in ROOMS:
        for path in sorted((root / room).rglob("*.py")) or [root / room]:
            told.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return told.hexdigest()
