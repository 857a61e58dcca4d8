"""Why it wears so, as a page or paper tells it."""

from dataclasses import dataclass

from pitchline.cause.diagnosis import POSSIBLE, Diagnosis, LikelyCause
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import Verdict
from pitchline.words import label, say, translated
from pitchline.words.speaking import capital, in_a_hundred


@dataclass(frozen=True, slots=True)
class ToldCause:
    """One cause.

    Parameters
    ----------
    key, name, degree, mend, left_alone : str
        Its code, what it is called, how likely in words, what mends it, and what it costs to leave.
    speaks_for, speaks_against : tuple of str
        What was read or seen.
    """

    key: str
    name: str
    degree: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    mend: str
    left_alone: str


@dataclass(frozen=True, slots=True)
class ToldCauses:
    """Why it wears so.

    Parameters
    ----------
    headline : str
        In a sentence.
    causes : tuple of ToldCause
        The likeliest first.
    looks : tuple of str
        What to look at next.
    first : str
        What to mend before new parts go on; empty where there is nothing to choose.
    footing : str
        What it rests on, and that it is assumed.
    ruled_out : str
        Causes that a workshop did not find.
    """

    headline: str
    causes: tuple[ToldCause, ...]
    looks: tuple[str, ...]
    first: str
    footing: str
    ruled_out: str = ""


def told_causes(verdict: Verdict) -> ToldCauses | None:
    """The causes of a verdict in words.

    Returns
    -------
    ToldCauses or None
        None where nothing speaks for any cause, or in a verdict of an earlier version.
    """
    found = verdict.causes
    if found is None:
        return None
    footing = saying("cause.footing", looked=found.signs_looked_at, signs=found.signs)
    first = saying("cause.first", causes=found.mend_first) if len(found.mend_first) > 1 else None
    return ToldCauses(
        say(found.headline),
        tuple(_told(one) for one in found.causes),
        tuple(say(one.said) for one in found.looks),
        say(first),
        say(footing),
        say(_ruled_out(found)),
    )


def _ruled_out(found: Diagnosis) -> Saying | None:
    return saying("cause.ruled_out_all", said=found.ruled_out) if found.ruled_out else None


def causes_in_short(verdict: Verdict) -> tuple[str, ...]:
    """The headline, and what mends each cause that is at least possible; empty where nothing speaks for any."""
    found = verdict.causes
    if found is None:
        return ()
    possible = (one for one in found.causes if one.chance >= POSSIBLE)
    return (
        say(found.headline),
        *(say(saying("cause.mended", cause=one.cause, mend=one.mend)) for one in possible),
        *filter(None, (say(_ruled_out(found)),)),
    )


def _told(one: LikelyCause) -> ToldCause:
    degrees = {
        "most_likely": translated("most likely"),
        "possible": translated("possible"),
        "less_likely": translated("less likely"),
    }
    return ToldCause(
        one.cause.value,
        capital(label(one.cause)),
        f"{degrees[one.degree]}, {in_a_hundred(one.chance)}",
        tuple(say(each) for each in one.speaks_for),
        tuple(say(each) for each in one.speaks_against),
        say(one.mend),
        say(one.left_alone),
    )
