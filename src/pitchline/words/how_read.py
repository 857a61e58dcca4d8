"""How quantities are read, in words."""

import re

from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.writing import marked
from pitchline.words.catalogue import translated

_FIGURE = re.compile(r"{([\d.]+)}")


def how_read(measurand: Measurand) -> str:
    """How a quantity is read, in the language in force."""
    return _FIGURE.sub(lambda at: marked(at[1]), translated(MEASURANDS[measurand].how_read))
