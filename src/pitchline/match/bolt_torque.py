"""Whether a tightening torque somebody typed is plausible for a bolt: the preload it gives, beside what the bolt can carry.

A check of a typed figure, never a torque to tighten by: that is the machine's manual's alone.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

FRICTION = (0.08, 0.16)
"""Coefficient of friction of threads and heads, oiled to dry [1]: from memory, VDI 2230's class of what is usually fitted."""
USUAL = (0.5, 0.9)
"""Share of the proof load that a tightened bolt usually carries [1]: common practice, no source; 0.75 to 0.9 is often named."""
_HEAD = 1.3
"""Mean diameter of the ring the head bears on, as a share of the thread's [1]: assumption, of hexagon heads."""


class BoltClass(StrEnum):
    """Property class of a bolt."""

    C8_8 = "8.8"
    C10_9 = "10.9"
    C12_9 = "12.9"


_PROOF = {BoltClass.C8_8: (580e6, 600e6), BoltClass.C10_9: (830e6, 830e6), BoltClass.C12_9: (970e6, 970e6)}
"""Proof stress up to and over a thread of 16 mm [Pa]."""


@dataclass(frozen=True, slots=True)
class Torque:
    """What a torque does to a bolt.

    Parameters
    ----------
    proof_n : float
        Proof load [N].
    preload_n : tuple of (float, float)
        Preload by the most and the least friction [N].
    torque_nm : tuple of (float, float)
        Torques that give a usual preload, from the least at little friction to the most at much [N m].
    answer : str
        "low", "plausible" or "high".
    """

    proof_n: float
    preload_n: tuple[float, float]
    torque_nm: tuple[float, float]
    answer: str


def stress_area_m2(thread_m: float, lead_m: float) -> float:
    """Stress area of a metric thread [m^2].

    Parameters
    ----------
    thread_m, lead_m : float
        Diameter and pitch of the thread [m].

    References
    ----------
    ISO 898-1: pi/4 (d - 0.9382 P)^2.
    """
    return math.pi / 4 * (thread_m - 0.9382 * lead_m) ** 2


def torque_nm(
    preload_n: float, thread_m: float, lead_m: float, friction: float, head_m: float | None = None
) -> float:
    """Torque that gives a preload [N m].

    Parameters
    ----------
    preload_n : float
        Preload [N].
    thread_m, lead_m : float
        Diameter and pitch of the thread [m].
    friction : float
        Of thread and head alike [1].
    head_m : float or None
        Mean diameter of the ring the head bears on [m]; None takes a share of the thread's.

    References
    ----------
    VDI 2230 (from memory): M = F (0.16 P + 0.58 d2 mu + D/2 mu), d2 = d - 0.6495 P.
    """
    flank_m = thread_m - 0.6495 * lead_m
    bears_m = _HEAD * thread_m if head_m is None else head_m
    return preload_n * (0.16 * lead_m + 0.58 * flank_m * friction + bears_m / 2 * friction)


def check_torque(typed_nm: float, thread_m: float, lead_m: float, bolt: BoltClass) -> Torque:
    """Whether a typed torque is plausible.

    Parameters
    ----------
    typed_nm : float
        As typed, of a manual or a label [N m].
    thread_m, lead_m : float
        Diameter and pitch of the thread [m].
    bolt : BoltClass
        As stamped on its head.

    Raises
    ------
    NotAllowedError
        A torque, thread or pitch that no bolt of a running gear has.

    References
    ----------
    Proof stress: ISO 898-1. Torque: VDI 2230, from memory.
    """
    bounds = (("torque [N m]", typed_nm, 5.0, 10_000.0), ("thread [mm]", thread_m * 1e3, 6.0, 48.0))
    for field, value, least, most in (*bounds, ("thread pitch [mm]", lead_m * 1e3, 0.5, thread_m * 1e3 / 5)):
        if not least <= value <= most:
            raise NotAllowedError(
                field,
                as_figure(value, "g"),
                phrase("{least:g} to {most:g}", least=least, most=most),
                "Look at the bolt, or in the manual.",
            )
    proof_n = _PROOF[bolt][thread_m > 0.016] * stress_area_m2(thread_m, lead_m)
    one_newton = [torque_nm(1.0, thread_m, lead_m, friction) for friction in FRICTION]
    preload_n = (typed_nm / one_newton[1], typed_nm / one_newton[0])
    usual_nm = (USUAL[0] * proof_n * one_newton[0], USUAL[1] * proof_n * one_newton[1])
    answer = "low" if typed_nm < usual_nm[0] else "high" if typed_nm > usual_nm[1] else "plausible"
    return Torque(proof_n, preload_n, usual_nm, answer)
