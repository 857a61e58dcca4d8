"""The room of words: codes and values become sentences and labels, in the language and the way in force. Only it speaks.

A sentence stands under its code in a table of `english/`; a language is one file of translations of these (`catalogue.py`).
"""

from typing import TYPE_CHECKING

from pitchline.words.catalogue import counted as counted
from pitchline.words.catalogue import in_english as in_english
from pitchline.words.catalogue import translated as translated

if TYPE_CHECKING:
    from pitchline.words.labels import label as label
    from pitchline.words.speaking import say as say
    from pitchline.words.speaking import worded as worded


def __getattr__(name: str) -> object:
    """What needs the trade's words is loaded when it is first asked for: `--help` is not to wait for numpy."""
    if name == "label":
        from pitchline.words.labels import label

        return label
    if name in ("say", "worded"):
        from pitchline.words import speaking

        return getattr(speaking, name)
    raise AttributeError(f"module 'pitchline.words' has no attribute {name!r}")
