"""What a reading is held against before anything is computed from it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying
from pitchline.wear.line import WearLine, wear_line
from pitchline.wear.slips import shown

LEAST_LIFE, MOST_LIFE = -0.15, 1.6
"""Life used that a sound reading can show: a new part on the large side, or one run far past its limit. Our own bounds."""
LEAST_MEANT, MOST_MEANT = -0.1, 1.5
"""Life used a value offered instead must show: new-to-scrap, with room for a part run past it. Our own bounds."""
OUTSIDE_SIGMAS, MEANT_ROOM = 2.0, 0.5
"""Standard uncertainties outside which a value is suspected, and the most room they give a value offered instead [1]. Our own."""
CHAIN_CEILING = 0.03
_PITCHES = (Measurand.PITCH, Measurand.RUBBER_PITCH)


@dataclass(frozen=True, slots=True)
class Yardstick:
    """What one quantity of one machine can plausibly show.

    Parameters
    ----------
    line : WearLine
        The yard's own wear line, or an assumed one that serves for plausibility only.
    least_life, most_life : float
        Life used outside which a reading is suspected [1].
    least_m, most_m : float
        What any tracked machine can show [m].
    basis : Saying
        What it rests on; follows "is too long for".

    References
    ----------
    Our own; the assumed lines are wide and are never a wear limit.
    """

    line: WearLine
    least_life: float
    most_life: float
    least_m: float
    most_m: float
    basis: Saying

    def life(self, value_m: float) -> float | None:
        """Life used at a value.

        Parameters
        ----------
        value_m : float
            Value [m], zero or more.

        Returns
        -------
        float or None
            Life used [1]; None for a value of 0 where the quantity cannot be nothing.
        """
        if value_m == 0 and not self.line.zero_is_a_reading:
            return None
        return float(self.line.life_used(value_m))

    def weighed(self, value_m: float, u_m: float) -> tuple[float | None, float, bool]:
        """What a value comes to, and whether it is more than the quantity can plausibly show, its doubt taken into account.

        Parameters
        ----------
        value_m : float
            Value [m], zero or more.
        u_m : float
            Its standard uncertainty [m], zero or more.

        Returns
        -------
        life : float or None
            As `life` [1].
        doubt : float
            Its standard uncertainty [1]; not a number where there is no life used.
        outside : bool
            True outside the bounds of any tracked machine, or two standard uncertainties outside the plausible life used.

        References
        ----------
        `WearLine.life_doubt`.
        """
        life = self.life(value_m)
        if life is None:
            return None, math.nan, True
        doubt = float(self.line.life_doubt(value_m, u_m))
        room = OUTSIDE_SIGMAS * doubt
        outside = life + room < self.least_life or life - room > self.most_life
        return life, doubt, outside or not self.least_m <= value_m <= self.most_m

    def could_be_meant(self, value_m: float, u_m: float) -> bool:
        """Whether a value offered instead lies inside new-to-scrap, or a little past it.

        Parameters
        ----------
        value_m : float
            Value [m], zero or more.
        u_m : float
            Its standard uncertainty [m], zero or more.

        Returns
        -------
        bool
            True inside, with two standard uncertainties of room, at most half the allowance.
        """
        life, doubt, _ = self.weighed(value_m, u_m)
        if life is None or not self.least_m <= value_m <= self.most_m:
            return False
        room = min(OUTSIDE_SIGMAS * doubt, MEANT_ROOM)
        return LEAST_MEANT - room <= life <= MOST_MEANT + room


def yardstick(dossier: Dossier, reading: Reading, others_m: Sequence[float]) -> Yardstick | None:
    """What a reading of a quantity that wears is held against.

    Parameters
    ----------
    dossier : Dossier
        The machine, with the yard's limits and running gear.
    reading : Reading
        The reading.
    others_m : sequence of float
        The same quantity elsewhere on this machine or earlier [m], shape (n,); used where no new size is known.

    Returns
    -------
    Yardstick or None
        The yard's own wear line; else a wide one assumed about the new size; for a pitch about the running gear's; else about
        the middle of the other values. None where there is nothing to go by.

    References
    ----------
    Our own. For a pitch without a limit: 3 % elongation, a general ceiling for roller chain (machine-design practice), used for
    plausibility only.
    """
    words = MEASURANDS[reading.measurand]
    bounds = (words.least_m, words.most_m)
    limit = dossier.limit_of(reading.place.part, reading.measurand)
    if limit is not None and limit.limit_m is not None:
        line = wear_line(limit)
        return Yardstick(line, LEAST_LIFE, MOST_LIFE, *bounds, _own_basis(line, reading))
    if reading.measurand in _PITCHES:
        new_m = limit.new_m if limit is not None else dossier.gear.pitch_m
        line = _assumed(reading, new_m, new_m * (1 + CHAIN_CEILING))
        return Yardstick(line, -0.5, 2.0, *bounds, saying("reading.a_pitch", new=shown(new_m, reading)))
    if limit is not None and limit.new_m > 0:
        falls = words.direction is Direction.FALLS
        line = _assumed(reading, limit.new_m, limit.new_m * (0.4 if falls else 10.0))
        basis = saying("reading.a_new_size", new=shown(limit.new_m, reading))
        return Yardstick(line, LEAST_LIFE, MOST_LIFE, *bounds, basis)
    usable = [value for value in others_m if value > 0]
    if not usable:
        return None
    middle_m = median(usable)
    low_m, high_m = 0.7 * middle_m, 1.3 * middle_m
    line = _assumed(reading, *((high_m, low_m) if words.direction is Direction.FALLS else (low_m, high_m)))
    basis = saying("reading.other_parts", about=shown(round(middle_m, 4), reading))
    return Yardstick(line, -0.5, MOST_LIFE, *bounds, basis)


def _own_basis(line: WearLine, reading: Reading) -> Saying:
    new = shown(line.limit.new_m, reading)
    if reading.measurand in _PITCHES:
        return saying("reading.a_pitch", new=new)
    return saying("reading.new_to_scrap", new=new, scrap=shown(line.limit_m, reading))


def _assumed(reading: Reading, new_m: float, limit_m: float) -> WearLine:
    return wear_line(
        Limit(reading.place.part, reading.measurand, new_m, limit_m, source="assumed for plausibility")
    )
