"""A verdict as a paper: two A4 pages, a page of pictures and one on its plan of stops, tagged after PDF/UA-1."""

from pitchline.papers.press import press
from pitchline.papers.story import story
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict


def verdict_pdf(verdict: Verdict, units: UnitSystem = UnitSystem.METRIC) -> bytes:
    """The paper of one verdict, the same bytes for the same verdict.

    Parameters
    ----------
    verdict : Verdict
        The verdict. Up to about thirty parts fit two pages before the pictures; longer tables run on.
    units : UnitSystem
        Metric or imperial, for everything but readings, which stay as typed.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1, A4, made on the day of the verdict.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    pdf, _ = press("paper.typ", story(verdict, units), verdict.as_of)
    return pdf
