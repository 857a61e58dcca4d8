"""The press: our fonts can set what we say they can, and what they cannot is replaced."""

import io

import pypdf
import pytest

from pitchline.papers.press import FONT_RANGES, press, printable

AID = {"aid": "a", "made": "b", "name_short": "c", "title": "t", "author": "p"}


def sheet(name):
    told = {
        "name": name, "kind": "k", "machine_id": "m", "gear": ["g"], "last": "l", "note": "n", "unit": "mm", "how": [],
        "sections": [], "tools": ["t"], "seen": [], "how_bad": ["h"], "caution": {"title": "t", "text": "x"},
    }  # fmt: skip
    return press("sheet.typ", told | AID, None)


def test_every_character_of_the_ranges_can_be_set():
    # PDF/UA-1 refuses a character without a glyph, so a gap in the fonts would be an error here.
    signs = "".join(chr(sign) for first, last in FONT_RANGES for sign in range(first, last + 1))
    pdf, remarks = sheet(signs)
    assert remarks == ()
    assert len(pdf) > 10_000


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("e\u0301", "é"),
        ("a\r\n\tb", "a b"),
        ("\u200f\u65e5", "□□"),
        ("Łódź, Αθήνα, Київ, 10 € ± ½ − ≤", "Łódź, Αθήνα, Київ, 10 € ± ½ − ≤"),
        ("\u0000\u001b[31m", "□□[31m"),
        ("", ""),
    ],
)
def test_printable_keeps_what_can_be_set(typed, shown):
    assert printable(typed) == shown


def test_without_a_day_no_date_is_written_and_bytes_stay_the_same():
    pdf = sheet("x")[0]
    assert "/CreationDate" not in pypdf.PdfReader(io.BytesIO(pdf)).metadata
    assert pdf == sheet("x")[0]
