"""A verdict as a colleague reads it: two A4 pages, a page of pictures, one on its ground and one on its plan."""

from pitchline.papers.press import press
from pitchline.papers.story import story
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict


def verdict_pdf(verdict: Verdict, units: UnitSystem = UnitSystem.METRIC, by: str = "") -> bytes:
    """The colleague's paper of one verdict: how each figure came about. The same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The verdict. Up to about thirty parts fit two pages before the pictures; longer tables run on.
    units : UnitSystem
        Metric or imperial, for everything but readings, which stay as typed.
    by : str
        The business it comes from, for its author.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a, A4, made on the day of the verdict.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    pdf, _ = press("paper.typ", story(verdict, units), verdict.as_of, by)
    return pdf
