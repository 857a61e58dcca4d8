"""What a match says, as codes and values."""

from collections.abc import Sequence

from pitchline.match.next_size import NextSize
from pitchline.match.ranking import FITS, Match
from pitchline.match.whole_gear import WholeMatch
from pitchline.trade.saying import Saying, saying


def answer(match: Match, looks: tuple[NextSize, ...]) -> Saying:
    """The answer in one sentence: it fits, two are left and what tells them apart, or none of them.

    Parameters
    ----------
    match : Match
        What was found.
    looks : tuple of NextSize
        What to read next.

    Returns
    -------
    Saying
        Never "fits" while a reading lies outside what the part can show.
    """
    first = match.ranked[0]
    if match.fits:
        return saying("match.fits", number=first.part.number, chance=first.chance)
    if match.none >= 0.5:
        return saying("match.none", chance=match.none)
    if looks:
        return saying("match.read_next", size=looks[0].size, chance=first.chance, sure_then=looks[0].sure_then)
    if first.chance >= FITS:
        return saying("match.outside", number=first.part.number, sizes=first.outside)
    return saying("match.alike", chance=first.chance)


def gear_answer(match: WholeMatch, names: Sequence[str]) -> Saying:
    """Which running gear of a list it is, in one sentence.

    Parameters
    ----------
    match : WholeMatch
        What was found.
    names : sequence of str
        What the list calls each, in its order.

    Returns
    -------
    Saying
        Never "it is" while something speaks against the first.
    """
    first = match.ranked[0]
    told = {"name": names[first.at], "chance": first.chance}
    if match.fits:
        return saying("match.gear_is", **told)
    if match.none >= 0.5:
        return saying("match.gear_none", chance=match.none)
    if first.chance >= FITS:
        return saying("match.gear_outside", **told)
    if match.looks:
        part, look = match.looks[0]
        return saying("match.gear_read_next", **told, part=part, size=look.size)
    return saying("match.gear_alike", **told)
