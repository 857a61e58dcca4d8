"""Slips of hand on a sheet: every value that may have been meant by what was typed."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying
from pitchline.trade.units import METRES_PER_UNIT

MOST_JOINTS = 8
DECIMAL_SLIPS = (10.0, 100.0, 0.1, 0.01)
_INCHES = ("in", "ft")
MM_PER_INCH = METRES_PER_UNIT["in"] / METRES_PER_UNIT["mm"]
_PLAIN = re.compile(r"^\s*(?P<number>\d+(?:[.,]\d+)?)\s*(?:[a-zA-Z]+|\"|”|″|'|′)?\.?\s*$")
_NEEDLESS_ZERO = re.compile(r"0\d")


class SlipKind(IntEnum):
    """The slips looked for, the likeliest first."""

    JOINTS = 0
    PER_JOINT = 1
    INCHES = 2
    MILLIMETRES = 3
    DECIMAL = 4
    SWAPPED = 5


@dataclass(frozen=True, slots=True)
class Slip:
    """One value that may have been meant.

    Parameters
    ----------
    kind : SlipKind
        What may have gone wrong.
    whole_m : float
        Whole length meant [m].
    joints : int
        Joints meant.
    said : Saying
        What it looks like, and the value offered; follows what looks wrong.
    step : int
        How far down the list of likely slips it stands [1]; 0 is the top, below 0 where the typing itself gives it away.
    """

    kind: SlipKind
    whole_m: float
    joints: int
    said: Saying
    step: int

    @property
    def value_m(self) -> float:
        """The value meant, for one joint where joints are spanned [m]."""
        return self.whole_m / self.joints


def whole_m(reading: Reading) -> float:
    """The whole length as read, the mean of its repeats.

    Returns
    -------
    float
        Length over all joints spanned [m].
    """
    return math.fsum(reading.repeats_m) / len(reading.repeats_m)


def shown(length_m: float, reading: Reading) -> Saying:
    """A length in the unit system the reading was typed in, with no more decimals than it needs.

    Parameters
    ----------
    length_m : float
        Length [m], any sign.
    reading : Reading
        The reading whose unit is followed.
    """
    imperial = bool(reading.typed) and reading.typed[0].unit in _INCHES
    return saying(f"reading.in_{'inches' if imperial else 'millimetres'}", length_m=length_m)


def slips(reading: Reading) -> tuple[Slip, ...]:
    """Every value that one slip of hand could have turned into this reading.

    Returns
    -------
    tuple of Slip
        Another joint count (1 to 8) or a length of one joint typed for the whole, where joints are spanned; inches taken as
        millimetres or the reverse; a decimal mark one or two places off; two neighbouring digits swapped. Most of them make no
        sense: whoever asks compares them with what the part can show.

    Examples
    --------
    >>> from pitchline.trade.measurands import Measurand
    >>> from pitchline.trade.parts import PartKind, Place, Side
    >>> from pitchline.trade.readings import DEFAULT_TOOLS
    >>> read = Reading(Place(PartKind.LINK, Side.LEFT), Measurand.RAIL_HEIGHT, (0.0042,), DEFAULT_TOOLS["depth_gauge"])
    >>> [f"{slip.kind.name} {slip.value_m:.4f}" for slip in slips(read)][0]
    'INCHES 0.1067'
    """
    found = _joint_slips(reading) if MEASURANDS[reading.measurand].spans_joints else []
    return (*found, *_unit_slips(reading), *_decimal_slips(reading), *_swapped(reading))


def _over(reading: Reading) -> Saying | None:
    return saying("reading.over", joints=reading.joints) if reading.joints > 1 else None


def _offer(what: str, reading: Reading, length_m: float) -> Saying:
    mean = saying("reading.as_the_mean") if len(reading.repeats_m) > 1 else None
    return saying(f"reading.{what}", meant=shown(length_m, reading), over=_over(reading), mean=mean)


def _joint_slips(reading: Reading) -> list[Slip]:
    length_m, joints = whole_m(reading), reading.joints
    found = [
        Slip(
            SlipKind.JOINTS,
            length_m,
            other,
            saying("reading.other_joints", meant=shown(length_m, reading), joints=other),
            0,
        )
        for other in range(2, MOST_JOINTS + 1)
        if other != joints
    ]
    if joints > 1:
        each, whole = shown(length_m, reading), shown(length_m * joints, reading)
        said = saying("reading.one_joint", whole=whole, joints=joints, each=each)
        found.append(Slip(SlipKind.PER_JOINT, length_m * joints, joints, said, 1))
    return found


def _unit_slips(reading: Reading) -> list[Slip]:
    length_m, joints = whole_m(reading), reading.joints
    units = {typed.unit for typed in reading.typed}
    over = _over(reading)
    found = []
    if units <= {"mm"}:
        meant_m = length_m * MM_PER_INCH
        said = saying("reading.inches_as_millimetres", meant_m=meant_m, over=over)
        found.append(Slip(SlipKind.INCHES, meant_m, joints, said, 2))
    if units <= {"in"}:
        meant_m = length_m / MM_PER_INCH
        said = saying("reading.millimetres_as_inches", meant_m=meant_m, over=over)
        found.append(Slip(SlipKind.MILLIMETRES, meant_m, joints, said, 2))
    return found


def _decimal_slips(reading: Reading) -> list[Slip]:
    length_m = whole_m(reading)
    return [
        Slip(
            SlipKind.DECIMAL,
            length_m * factor,
            reading.joints,
            _offer("decimal_mark", reading, length_m * factor),
            3,
        )
        for factor in DECIMAL_SLIPS
    ]


def _swapped(reading: Reading) -> list[Slip]:
    """Neighbouring digits swapped, at the same place in every repeat.

    Nobody means a number that begins with a needless 0; one that was typed so is most likely swapped.
    """
    texts, units_m = _numbers(reading)
    if not texts:
        return []
    step = -3 if any(_NEEDLESS_ZERO.match(text) for text in texts) else 4
    found: dict[float, Slip] = {}
    for at in range(min(sum(letter.isdigit() for letter in text) for text in texts) - 1):
        meant = [_swap(text, at) for text in texts]
        if meant == texts or any(_NEEDLESS_ZERO.match(text) for text in meant):
            continue
        meant_m = math.fsum(float(text) * unit_m for text, unit_m in zip(meant, units_m, strict=True)) / len(meant)
        said = _offer("digits_swapped", reading, meant_m)
        found.setdefault(meant_m, Slip(SlipKind.SWAPPED, meant_m, reading.joints, said, step))
    return list(found.values())


def _numbers(reading: Reading) -> tuple[list[str], list[float]]:
    """The repeats as plain numbers with a point, and their units [m]; empty where one was not typed as a plain number."""
    if not reading.typed:
        return [f"{repeat * 1e3:.6f}".rstrip("0").rstrip(".") for repeat in reading.repeats_m], [
            METRES_PER_UNIT["mm"]
        ] * len(reading.repeats_m)
    matches = [_PLAIN.match(typed.text) for typed in reading.typed]
    texts = [match["number"].replace(",", ".") for match in matches if match]
    if len(texts) < len(matches) or any(typed.unit not in METRES_PER_UNIT for typed in reading.typed):
        return [], []
    return texts, [METRES_PER_UNIT[typed.unit] for typed in reading.typed]


def repeat_meant(reading: Reading, number: int, others_m: Sequence[float], room_m: float) -> float | None:
    """What was meant by one repeat that lies far from the others, when one slip of the hand makes it one of them.

    Parameters
    ----------
    reading : Reading
        The reading with all its repeats.
    number : int
        Which repeat, from 0.
    others_m : sequence of float
        The other repeats [m], one or more.
    room_m : float
        How far apart repeats on one place may lie [m].

    Returns
    -------
    float or None
        The length meant [m]: of a decimal mark that slipped, two digits swapped, one left out, one too many, one wrong, the
        first that brings it among the others, and of several such the one nearest their middle.
    """
    texts, units_m = _numbers(reading)
    if not texts:
        return None
    text, unit_m = texts[number], units_m[number]
    digits = [at for at, letter in enumerate(text) if letter.isdigit()]
    kinds = (
        [f"{float(text) * factor:.10g}" for factor in DECIMAL_SLIPS],
        [_swap(text, at) for at in range(len(digits) - 1)],
        [text[:at] + digit + text[at:] for at in range(len(text) + 1) for digit in "0123456789"],
        [text[:at] + text[at + 1 :] for at in digits if len(digits) > 1],
        [text[:at] + digit + text[at + 1 :] for at in digits for digit in "0123456789"],
    )
    middle_m = math.fsum(others_m) / len(others_m)
    for meant in kinds:
        found = [float(one) * unit_m for one in meant if not _NEEDLESS_ZERO.match(one)]
        near = [one for one in found if max(*others_m, one) - min(*others_m, one) <= room_m]
        if near:
            return min(near, key=lambda one: abs(one - middle_m))
    return None


def _swap(text: str, at: int) -> str:
    """The number with its digit number `at` and the next one swapped; the decimal mark stays where it is."""
    places = [index for index, letter in enumerate(text) if letter.isdigit()]
    letters = list(text)
    one, two = places[at], places[at + 1]
    letters[one], letters[two] = letters[two], letters[one]
    return "".join(letters)
