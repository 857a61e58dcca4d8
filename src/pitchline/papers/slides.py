"""Slides for a talk: one idea each, 16 to 9, its drawings beside its words."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from pitchline import __version__
from pitchline.papers import names, words
from pitchline.papers.press import press
from pitchline.words import worded


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing on a slide.

    Parameters
    ----------
    svg : str
        The drawing, for paper.
    alt : str
        What it shows.
    said : str
        What stands below it; empty for nothing.
    """

    svg: str
    alt: str
    said: str = ""


@dataclass(frozen=True, slots=True)
class Slide:
    """One slide.

    Parameters
    ----------
    title : str
        Its head.
    lines : tuple of (str, str)
        What it says, each with a word before it; empty words for plain sentences.
    drawn : tuple of Drawn
        Its drawings: one stands wide over the words, several in a row.
    source : str
        Where it is from, in small.
    call : (str, str) or None
        A call and its words, of a machine.
    """

    title: str
    lines: tuple[tuple[str, str], ...] = ()
    drawn: tuple[Drawn, ...] = ()
    source: str = ""
    call: tuple[str, str] | None = None


def slides_pdf(title: str, slides: Sequence[Slide], day: dt.date, by: str = "") -> bytes:
    """Slides as a PDF of 16 to 9, the first with the title alone.

    Parameters
    ----------
    title : str
        What the talk is about.
    slides : sequence of Slide
        The slides.
    day : datetime.date
        The day they are made on.
    by : str
        The business they come from.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a.

    References
    ----------
    ISO 14289-1 (PDF/UA-1), ISO 19005-2 (PDF/A-2a); the layout is our own.
    """
    told: dict[str, object] = {
        "title": title,
        "author": f"pitchline {__version__}",
        "by": names.shortened(by),
        "day": words.day(day),
        "slides": [asdict(one) for one in slides],
        "aid": words.working_aid(),
        "made": worded("slides · pitchline {version}", version=__version__),
        "name_short": names.shortened(by),
    }
    return press("slides.typ", told, day, by)[0]
