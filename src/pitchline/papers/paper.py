"""A verdict as a colleague reads it: two A4 pages, a page of pictures, one on its ground and one on its plan."""

from collections.abc import Sequence

from pitchline.papers.photos import Photo
from pitchline.papers.press import press
from pitchline.papers.story import story
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict

MOST_NAMED = 6
"""Photos on its page of photos: our own choice."""


def verdict_pdf(
    verdict: Verdict, units: UnitSystem = UnitSystem.METRIC, by: str = "", photos: Sequence[Photo] = ()
) -> bytes:
    """The colleague's paper of one verdict: how each figure came about. The same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The verdict. Up to about thirty parts fit two pages before the pictures; longer tables run on.
    units : UnitSystem
        Metric or imperial, for everything but readings, which stay as typed.
    by : str
        The business it comes from, for its author.
    photos : sequence of Photo
        Photos of it; those with names of parts on them are shown, the first few.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a, A4, made on the day of the verdict.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    named = [one.told() for one in photos if one.names][:MOST_NAMED]
    pdf, _ = press("paper.typ", story(verdict, units) | {"photos": named}, verdict.as_of, by)
    return pdf
