"""Cautions in words."""

from pitchline.trade.jobs import CAUTIONS, Caution
from pitchline.trade.jobs import WORKING_AID as WORKING_AID
from pitchline.words.catalogue import translated


def title(caution: Caution) -> str:
    """The hazard, as a heading."""
    return translated(CAUTIONS[caution].title)


def caution_text(caution: Caution) -> str:
    """What to do and not to do."""
    return translated(CAUTIONS[caution].text)
