"""The likely causes of a machine's wear, ranked, with what speaks for and against each, and what to look at next.

See docs/explanation/causes.md.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitchline.cause.mending import MENDED_FIRST
from pitchline.cause.nets import Net
from pitchline.cause.next_look import COURSE, IN_QUESTION, Look, next_looks
from pitchline.cause.posterior import NOT_SEEN, SEEN, Posterior, posterior
from pitchline.cause.signs import Evidence
from pitchline.trade.causes import Cause, LookedFor, Sign
from pitchline.trade.saying import Saying, saying

MOST_LIKELY, POSSIBLE, LESS_LIKELY = 0.7, 0.3, 0.1
"""From these chances on a cause is called so; below the last it is left out: assumptions."""
SURE = 1e4
"""What the odds of a cause are, against 1, once a workshop confirmed it; their inverse where it ruled it out: an assumption."""
SAID = ("cause.said_there", "cause.said_not_there")
"""Codes of a look somebody answered: where they are in a course of three."""
FOR_OR_AGAINST = 1.1
"""A reading this many times likelier with a sign than without speaks for what brings it; its inverse speaks against."""


@dataclass(frozen=True, slots=True)
class LikelyCause:
    """One cause.

    Parameters
    ----------
    cause : Cause
        Which.
    chance : float
        That it is at work [1].
    degree : str
        "most_likely", "possible" or "less_likely".
    speaks_for, speaks_against : tuple of Saying
        What was read or seen, the strongest first.
    mend : Saying
        What mends it, and by whom.
    left_alone : Saying or None
        What it costs to leave; None where it moves nothing that was judged.
    """

    cause: Cause
    chance: float
    degree: str
    speaks_for: tuple[Saying, ...]
    speaks_against: tuple[Saying, ...]
    mend: Saying
    left_alone: Saying | None = None


@dataclass(frozen=True, slots=True)
class NextLook:
    """What to look at to tell causes apart.

    Parameters
    ----------
    sign : Sign
        What.
    minutes : float
        How long it takes, as assumed [min].
    said : Saying
        How it is done.
    """

    sign: Sign
    minutes: float
    said: Saying


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Why a running gear wears as it does.

    Parameters
    ----------
    headline : Saying
        In one sentence: the cause, or that it cannot be told yet and what to look at.
    told : bool
        Whether a cause was confirmed, or is called most likely and stays first if the odds of any one were half or double.
    causes : tuple of LikelyCause
        The likeliest first; those under 1 in 10 are left out, but for the first that something speaks for.
    looks : tuple of NextLook
        What to look at next, what tells most a minute first; empty where a cause is told.
    mend_first : tuple of Cause
        The causes that are at least possible, in the order they are mended before new parts go on.
    signs_looked_at, signs : int
        How many signs were looked at, and how many there are on this track.
    something_else : float
        Chance that it is none of them [1].
    ruled_out : tuple of Saying
        Causes that somebody looked into and did not find.
    """

    headline: Saying
    told: bool
    causes: tuple[LikelyCause, ...]
    looks: tuple[NextLook, ...]
    mend_first: tuple[Cause, ...]
    signs_looked_at: int
    signs: int
    something_else: float
    ruled_out: tuple[Saying, ...] = ()


def diagnose(
    net: Net,
    evidence: Sequence[Evidence],
    odds: Mapping[Cause, float],
    left_alone: Mapping[Cause, Saying] | None = None,
    looked_into: Mapping[Cause, LookedFor] | None = None,
) -> Diagnosis | None:
    """The diagnosis of one machine.

    Parameters
    ----------
    net : Net
        Causes and signs of its track.
    evidence : sequence of Evidence
        What was looked at, each sign once.
    odds : mapping of Cause to float
        What is known of the work.
    left_alone : mapping of Cause to Saying or None
        What each costs while it is left.
    looked_into : mapping of Cause to LookedFor or None
        Causes that a workshop confirmed or ruled out.

    Returns
    -------
    Diagnosis or None
        None where nothing speaks for any cause: no sign was seen, no reading is unlike another, and none was confirmed.
    """
    ratios = {one.sign: one.ratio for one in evidence if one.sign in net.leaks}
    answers = {cause: one for cause, one in (looked_into or {}).items() if cause in net.priors}
    if not any(ratio > FOR_OR_AGAINST for ratio in ratios.values()) and not any(
        one.there for one in answers.values()
    ):
        return None
    sure = {cause: SURE if one.there else 1 / SURE for cause, one in answers.items()}
    after = posterior(net, ratios, {**odds, **sure})
    told = any(one.there for one in answers.values()) or is_told(after)
    ranked = sorted(after.chances, key=lambda cause: -after.chances[cause])
    shown = {sign for sign, ratio in ratios.items() if ratio > FOR_OR_AGAINST}
    spoken_for = [cause for cause in ranked if shown & net.strengths[cause].keys()][:IN_QUESTION]
    likely = [cause for cause in ranked if after.chances[cause] >= LESS_LIKELY or cause in spoken_for]
    causes = tuple(
        _likely(net, cause, after.chances[cause], evidence, left_alone or {}, answers) for cause in likely
    )
    answered = sum(one.said.code in SAID for one in evidence)
    looks = () if told else next_looks(net, after, frozenset(ratios), to_go=COURSE - answered % COURSE)[:COURSE]
    possible = [cause for cause in likely if after.chances[cause] >= POSSIBLE]
    return Diagnosis(
        headline=_headline(causes, told, looks, answers),
        told=told,
        causes=causes,
        looks=tuple(NextLook(one.sign, one.minutes, saying(f"look.{one.sign.value}")) for one in looks),
        mend_first=tuple(cause for cause in MENDED_FIRST if cause in possible),
        signs_looked_at=len(ratios),
        signs=len(net.leaks),
        something_else=after.none,
        ruled_out=tuple(_answered("cause.ruled_out", one) for one in answers.values() if not one.there),
    )


def _answered(code: str, one: LookedFor) -> Saying:
    note = saying("cause.note", note=one.note) if one.note else None
    return saying(code, cause=one.about, on=one.date, note=note)


def is_told(after: Posterior) -> bool:
    """Whether a cause may be told: most likely, and first still if the odds of any one were half or double."""
    first = after.first
    if after.chances[first] < MOST_LIKELY:
        return False
    shifted = (after.shifted(cause, times) for cause in after.chances for times in (0.5, 2.0))
    return all(max(one, key=one.__getitem__) is first for one in shifted)


def _likely(
    net: Net,
    cause: Cause,
    chance: float,
    evidence: Sequence[Evidence],
    left_alone: Mapping[Cause, Saying],
    answers: Mapping[Cause, LookedFor],
) -> LikelyCause:
    strength = net.strengths[cause]
    mine = sorted((one for one in evidence if one.sign in strength), key=lambda one: -strength[one.sign])
    found = (_answered("cause.confirmed", answers[cause]),) if cause in answers and answers[cause].there else ()
    degree = "most_likely" if chance >= MOST_LIKELY else "possible" if chance >= POSSIBLE else "less_likely"
    return LikelyCause(
        cause,
        chance,
        degree,
        (*found, *(_told(one) for one in mine if one.ratio > FOR_OR_AGAINST)),
        tuple(_told(one) for one in mine if one.ratio < 1 / FOR_OR_AGAINST),
        saying(f"mend.{cause.value}"),
        left_alone.get(cause),
    )


def _told(one: Evidence) -> Saying:
    """The sign, and what was read or seen of it."""
    code = {SEEN: "cause.sign_seen", NOT_SEEN: "cause.sign_not_seen"}.get(one.ratio, "cause.sign_read")
    return saying(code, sign=one.sign, said=one.said)


def _headline(
    causes: Sequence[LikelyCause], told: bool, looks: Sequence[Look], answers: Mapping[Cause, LookedFor]
) -> Saying:
    found = tuple(cause for cause, one in answers.items() if one.there)
    if found:
        return saying("cause.found", causes=found)
    if told:
        return saying("cause.told", cause=causes[0].cause, chance=causes[0].chance)
    names = tuple(saying("cause.named", cause=one.cause) for one in causes[:2])
    if not names:
        return saying("cause.nothing_likely")
    look = saying(f"look.{looks[0].sign.value}") if looks else None
    if look is None:
        return saying("cause.cannot_tell", causes=names)
    return saying("cause.cannot_tell_look", causes=names, look=look)
