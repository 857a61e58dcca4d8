"""A size of a worn part as somebody typed it: a figure, or what was measured where no calliper spans it."""

import re

from pitchline.exchange.figures import count_of, typed_length
from pitchline.match.diameters import bolt_circle, from_chord, from_girth, teeth_of_segment
from pitchline.match.ranking import PartReading
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told
from pitchline.words.names import named

_CHORD = re.compile(r"chord\s+(?P<chord>.+?)\s+height\s+(?P<height>.+)", re.IGNORECASE)
_GIRTH = re.compile(r"girth\s+(?P<girth>.+?)(\s+tape\s+(?P<tape>.+))?", re.IGNORECASE)
_CIRCLE = re.compile(r"(?P<chord>.+?)\s+over\s+(?P<apart>[0-9]{1,3})\s+of\s+(?P<bolts>[0-9]{1,3})", re.IGNORECASE)
_RING = re.compile(r"(?P<chord>.+?)\s+over\s+(?P<gaps>[0-9]{1,3})\s+gaps\s+of\s+(?P<tips>.+)", re.IGNORECASE)


def read_size(text: str, size: PartSize, unit: str, u_m: float) -> PartReading:
    """A reading of a part from its text.

    Parameters
    ----------
    text : str
        A figure, a word, or how it was measured: "chord 300 height 30" and "girth 641" for diameters, "girth 641 tape 0.4" with
        the tape's thickness, "50 over 1 of 26" for a bolt circle from two bolts, "482 over 5 gaps of 820" for the teeth of a ring
        from tip to tip over some gaps and the diameter over the tips.
    size : PartSize
        Which size.
    unit : str
        Unit of bare figures, "mm" or "in".
    u_m : float
        Standard uncertainty of a length as measured [m], 0 or more.

    Returns
    -------
    PartReading
        With its doubt: that of a diameter from what was measured follows from it.

    Raises
    ------
    NotAllowedError
        What cannot be read, or cannot be.
    """
    name, told = named(size), PART_SIZES[size].told
    text = " ".join(text.split())

    def length(figure: str) -> float:
        return typed_length(figure, unit, name).si

    if told is Told.WORD:
        return PartReading(size, text)
    if told is Told.COUNT:
        ring = _RING.fullmatch(text) if size is PartSize.TEETH else None
        if ring is not None:
            return PartReading(
                size, round(teeth_of_segment(length(ring["chord"]), int(ring["gaps"]), length(ring["tips"])))
            )
        return PartReading(size, count_of(text, name))
    if (chord := _CHORD.fullmatch(text)) is not None:
        return PartReading(size, *from_chord(length(chord["chord"]), length(chord["height"]), u_m, u_m))
    if (girth := _GIRTH.fullmatch(text)) is not None:
        return PartReading(size, *from_girth(length(girth["girth"]), length(girth["tape"] or "0"), u_m))
    if (circle := _CIRCLE.fullmatch(text)) is not None and size is PartSize.BOLT_CIRCLE:
        apart, bolts = int(circle["apart"]), int(circle["bolts"])
        whole = bolt_circle(length(circle["chord"]), apart, bolts)
        return PartReading(size, whole, u_m * whole / length(circle["chord"]))
    return PartReading(size, length(text), u_m)
