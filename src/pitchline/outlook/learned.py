"""What is known of the wear model's constants, by kind of part: learned from a yard's readings, or assumed.

See docs/explanation/outlook.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from pitchline.outlook.constants import Constants, Priors, weak_priors
from pitchline.outlook.late import Late, none_late
from pitchline.outlook.learned_limit import LearnedLimit
from pitchline.trade.dossier import KindLife
from pitchline.trade.measurands import Measurand, measurands_of
from pitchline.trade.parts import PartKind

UNKNOWN_LIFE_H = 5000.0
"""Typical life of a kind nobody has said anything about [h]: an assumption of this project."""


@dataclass(frozen=True, slots=True)
class Learned:
    """What is known of the constants, from readings or by assumption.

    Parameters
    ----------
    kinds : tuple of str
        Words for the kinds of part; kind numbers in paths are places in it.
    priors : Priors
        Means and standard deviations of every constant.
    late : Late
        How each kind wears on late in its life.
    machines, parts, readings : int
        What it was learned from; 0 where it is only assumed.
    limits : dict of str to LearnedLimit
        What the yard runs each kind of part down to, for kinds it took off; offered beside entered limits, never used.
    """

    kinds: tuple[str, ...]
    priors: Priors
    late: Late
    machines: int = 0
    parts: int = 0
    readings: int = 0
    limits: dict[str, LearnedLimit] = field(default_factory=dict)


def weak(kinds: tuple[str, ...], lives_h: dict[str, tuple[float, float]]) -> Learned:
    """Constants nobody has learned yet.

    Parameters
    ----------
    kinds : tuple of str
        Words for the kinds of part.
    lives_h : dict of str to (float, float)
        Typical life on middling ground [h] and the standard deviation of its logarithm [1], by kind.

    Returns
    -------
    Learned
        Kinds not named get a weak figure of this project.
    """
    known = [lives_h.get(kind, (UNKNOWN_LIFE_H, 1.0)) for kind in kinds]
    priors = weak_priors(np.array([life for life, _ in known]), np.array([spread for _, spread in known]))
    return Learned(kinds, priors, none_late(len(kinds)))


def plugged_in(learned: Learned) -> Constants:
    """The most likely constants as one set."""
    priors = learned.priors
    spreads = (np.exp([spread[0]]) for spread in priors.spreads)
    return Constants(priors.log_rate[None], priors.ground[None], *spreads)


def kind_word(part: str, measurand: str) -> str:
    """Word of a kind in fleet tables.

    Returns
    -------
    str
        The table's own word where it has one, else both joined.

    References
    ----------
    The words of the fleet tables, docs/reference/fleet-tables.md.

    Examples
    --------
    >>> kind_word("link", "rail_height"), kind_word("pad", "pad_height")
    ('link_height', 'pad/pad_height')
    """
    return _WORDS.get((part, measurand), f"{part}/{measurand}")


_WORDS = {
    ("link", "rail_height"): "link_height",
    ("bush", "bush_od_forward"): "bush_od",
    ("chain", "pitch"): "pitch_4",
    ("shoe", "grouser_height"): "shoe_bar",
    ("bottom_roller", "tread_diameter"): "bottom_roller",
    ("upper_roller", "tread_diameter"): "top_roller",
    ("idler", "tread_depth"): "idler",
    ("sprocket", "root_diameter"): "sprocket",
}


def kind_named(word: str) -> tuple[PartKind, Measurand] | None:
    """The part and the quantity that a word of a kind means; None for a word of somebody's own.

    Examples
    --------
    >>> kind_named("link_height"), kind_named("anything")
    ((<PartKind.LINK: 'link'>, <Measurand.RAIL_HEIGHT: 'rail_height'>), None)
    """
    every = ((part, measurand) for part in PartKind for measurand in measurands_of(part))
    return next(((part, what) for part, what in every if kind_word(part.value, what.value) == word), None)


def priors_for(kinds: tuple[KindLife, ...], learned: Learned | None) -> tuple[Priors, tuple[bool, ...]]:
    """Priors for the kinds of one machine.

    Parameters
    ----------
    kinds : tuple of KindLife
        Typical lives, entered or assumed.
    learned : Learned or None
        What the yard's readings say; kinds it does not know keep their typical life.
    """
    lives, spreads = ([kind.typical_life_h for kind in kinds], [kind.log_spread for kind in kinds])
    priors = weak_priors(np.array(lives), np.array(spreads))
    if learned is None:
        return priors, tuple(False for _ in kinds)
    words = [kind_word(kind.part.value, kind.measurand.value) for kind in kinds]
    known = tuple(word in learned.kinds for word in words)
    log_rate, log_rate_u = priors.log_rate.copy(), priors.log_rate_u.copy()
    for number, word in enumerate(words):
        if known[number]:
            place = learned.kinds.index(word)
            log_rate[number], log_rate_u[number] = learned.priors.log_rate[place], learned.priors.log_rate_u[place]
    return replace(learned.priors, log_rate=log_rate, log_rate_u=log_rate_u), known


def late_for(words: Sequence[str], learned: Learned | None) -> Late:
    """Change of pace of some kinds.

    Parameters
    ----------
    words : sequence of str
        Words for the kinds, as in fleet tables.
    learned : Learned or None
        What the yard's readings say.

    Returns
    -------
    Late
        In the order of words; kinds that are not known keep their pace.
    """
    if learned is None:
        return none_late(len(words))
    known = dict(zip(learned.kinds, learned.late.times.tolist(), strict=True))
    return Late(learned.late.begins, np.array([known.get(word, 1.0) for word in words]))
