"""The printing press: a template and what is to be told become PDF bytes.

What people typed goes to the template as JSON and is set as text, never read as markup.
"""

import datetime as dt
import json
import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from pitchline.trade.writing import ENGLISH, way_in_force
from pitchline.words import translated

if TYPE_CHECKING:
    import typst

_HERE = Path(__file__).parent
FONT_RANGES = (
    (0x20, 0x7E),
    (0xA0, 0x148),
    (0x14A, 0x1C3),
    (0x1C5, 0x24F),
    (0x386, 0x386),
    (0x388, 0x38A),
    (0x38C, 0x38C),
    (0x38E, 0x3A1),
    (0x3A3, 0x3CE),
    (0x400, 0x45F),
    (0x490, 0x491),
    (0x1E00, 0x1EFF),
    (0x2010, 0x2015),
    (0x2018, 0x2022),
    (0x2026, 0x2026),
    (0x202F, 0x2030),
    (0x2032, 0x2033),
    (0x2044, 0x2044),
    (0x20A0, 0x20BF),
    (0x2116, 0x2116),
    (0x215B, 0x215E),
    (0x2190, 0x2193),
    (0x2212, 0x2212),
    (0x2248, 0x2248),
    (0x2260, 0x2260),
    (0x2264, 0x2265),
    (0x25A1, 0x25A1),
)
"""Characters the fonts we ship can set, first and last of each range; see fonts/README.md."""

_KEPT = "".join(f"{chr(first)}-{chr(last)}" for first, last in FONT_RANGES if first != 0x20)
_OTHER = re.compile(f"[^ -~{_KEPT}]")


def printable(text: str) -> str:
    r"""The text as our fonts can set it.

    Returns
    -------
    str
        Composed, with line breaks and tabs as spaces and a hollow square for each character the fonts lack.

    References
    ----------
    Our own rule; a tagged PDF must not hold a character without a glyph (ISO 14289-1, 7.21).

    Examples
    --------
    >>> printable("No.\t7 \u65e5")
    'No. 7 □'
    """
    return _OTHER.sub("□", re.sub(r"[\t-\r\x85\u2028\u2029]+", " ", unicodedata.normalize("NFC", text)))


def _clean(told: object) -> object:
    if isinstance(told, str):
        return printable(told)
    if isinstance(told, dict):
        return {key: _clean(value) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return [_clean(value) for value in told]
    return told


@cache
def _fonts() -> "typst.Fonts":
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(_HERE / "fonts")])


_SAID = re.compile(r'\bsay\(\s*"([^"]*)"')


@cache
def _texts() -> tuple[str, ...]:
    """What the templates say by themselves."""
    return tuple(
        text for file in sorted(_HERE.glob("*.typ")) for text in _SAID.findall(file.read_text(encoding="utf-8"))
    )


def _language() -> dict[str, str]:
    """The language in force, and what the templates say in it; nothing for English."""
    language = way_in_force().language
    if language == ENGLISH:
        return {}
    words = {text: translated(text) for text in _texts()}
    return {**tag_of(language), "words": json.dumps(_clean(words), ensure_ascii=False)}


def tag_of(language: str) -> dict[str, str]:
    """A language as the typesetter takes it, which knows no script and no private code.

    Parameters
    ----------
    language : str
        Its code (BCP 47), such as "pt-BR".

    Returns
    -------
    dict of str to str
        Its `language`, and its `region` where the code names a country.

    References
    ----------
    RFC 5646, 2.1 and 2.2.4, and "und" of ISO 639-2 for a language that has no code of its own (from memory).

    Examples
    --------
    >>> tag_of("pt-BR"), tag_of("zh-Hant-TW"), tag_of("es-419"), tag_of("x-wide")
    ({'language': 'pt', 'region': 'br'}, {'language': 'zh', 'region': 'tw'}, {'language': 'es'}, {'language': 'und'})
    """
    first, *others = language.lower().partition("-x-")[0].split("-")
    tag = {"language": first if re.fullmatch("[a-z]{2,3}", first) else "und"}
    region = next((one for one in others if re.fullmatch("[a-z]{2}", one)), "")
    return tag | {"region": region} if region and tag["language"] != "und" else tag


def press(
    template: str, told: dict[str, object], as_of: dt.date | None, author: str = ""
) -> tuple[bytes, tuple[str, ...]]:
    """A PDF after PDF/UA-1 and PDF/A-2a, the same bytes for the same input, and what the typesetter remarked.

    Parameters
    ----------
    template : str
        File name of a template in this folder.
    told : dict
        What the template sets: text, numbers, lists and dicts of them.
    as_of : datetime.date or None
        The day written into the file as its date of making; none is written without one, and it is no PDF/A then.
    author : str
        The business it comes from; empty leaves the author `told` names.

    Returns
    -------
    tuple of (bytes, tuple of str)
        The file, and remarks such as a line that would not fit; none is expected.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) and ISO 19005-2 (PDF/A-2a); the typesetter refuses to write what breaks them.
    """
    import typst  # only where a paper is made

    day = as_of or dt.date(2000, 1, 1)
    told = told | {"date": [day.year, day.month, day.day] if as_of else None}
    told |= {"author": author} if author else {}
    pdf, remarks = typst.compile_with_warnings(
        str(_HERE / template),
        root=str(_HERE),
        font_paths=_fonts(),
        sys_inputs={"told": json.dumps(_clean(told), ensure_ascii=False), **_language()},
        format="pdf",
        pdf_standards=["ua-1", "a-2a"] if as_of else ["ua-1"],
        timestamp=dt.datetime(day.year, day.month, day.day, tzinfo=dt.UTC),
    )
    return pdf, tuple(str(remark) for remark in remarks)
