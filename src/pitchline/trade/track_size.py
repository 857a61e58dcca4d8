"""Sizes the trade writes in one breath: a rubber track's as moulded on it, a chain's joints and pitch."""

import re
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase

_FIGURE = r"([0-9]{1,4}(?:[.,][0-9]{1,2})?)\s*(?:mm)?\s*[A-Za-z]{0,2}"
_TIMES = r"\s*[xX\u00d7*]\s*"
_RUBBER = re.compile(_TIMES.join([_FIGURE] * 3), re.ASCII)
_CHAIN = re.compile(_TIMES.join([_FIGURE] * 2), re.ASCII)


@dataclass(frozen=True, slots=True)
class TrackSize:
    """What a size in one breath says.

    Parameters
    ----------
    joints : int
        Joints of a chain, or links of a rubber track, on one side.
    pitch : str
        Of one of them, with its unit.
    width : str or None
        Of a rubber track, with its unit; None where it does not say.
    """

    joints: int
    pitch: str
    width: str | None = None


def track_size(text: str, is_rubber: bool) -> TrackSize:
    """What a size in one breath says, in millimetres.

    Parameters
    ----------
    text : str
        Width, pitch and links of a rubber track, or joints and pitch of a chain; letters a moulding puts behind a figure
        are left aside.
    is_rubber : bool
        Which of the two it is.

    Raises
    ------
    NotAllowedError
        It is neither, with what it should look like.

    References
    ----------
    Width x pitch x links as rubber tracks carry it, joints x pitch of a chain: common practice, no source.

    Examples
    --------
    >>> track_size("400x86x52", True)
    TrackSize(joints=52, pitch='86 mm', width='400 mm')
    >>> track_size("47 x 187", False)
    TrackSize(joints=47, pitch='187 mm', width=None)
    """
    found = (_RUBBER if is_rubber else _CHAIN).fullmatch(text.strip())
    if found is None:
        allowed = phrase("joints x pitch in mm, such as 47 x 187")
        if is_rubber:
            allowed = phrase("width x pitch x links in mm, such as 400x86x52")
        raise NotAllowedError("size", text, allowed, "Read it again from the track, or fill in the fields below.")
    *width, one, other = (figure.replace(",", ".") for figure in found.groups())
    pitch, joints = (one, other) if is_rubber else (other, one)
    if not joints.isdecimal() or not 20 <= int(joints) <= 120:
        raise NotAllowedError("size", text, "20 to 120 links or joints", "Read it again from the track.")
    return TrackSize(int(joints), f"{pitch} mm", f"{width[0]} mm" if width else None)
