"""What a match says, as codes and values."""

from pitchline.match.next_size import NextSize
from pitchline.match.ranking import FITS, Match
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
