"""The made-up language for a whole run, and what may stand in plain letters in it."""

import re

import pytest

import made_up
from pitchline.trade.writing import Writing, writing
from pitchline.words import catalogue

UNITS = "mm in kg lb h t kW kPa MPa kN m cm psi lbf ft EUR"
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"
ITSELF = "pitchline JSON PDF UTF CSV"
CODES = re.compile(
    r"\.(?:csv|xlsx|pdf|svg|png|zip|parquet)\b|https?:\S+|--[a-z-]+|\b[\w-]+\.(?:json|csv|xlsx|pdf|svg|png|txt|ics|parquet)\b|\b[a-z]+(?:_[a-z]+)+\b"
)
"""Options, names of files, and keys that a program reads."""


@pytest.fixture(scope="session")
def wide_file(tmp_path_factory):
    """The made-up language, written once; known to nobody yet."""
    folder = tmp_path_factory.mktemp("wide")
    made_up.write(folder)
    return folder


@pytest.fixture
def wide(wide_file, monkeypatch):
    """Everything is said in the made-up language."""
    monkeypatch.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, wide_file])
    made_up.read_once()
    with writing(Writing(language=made_up.CODE)):
        yield Writing(language=made_up.CODE)


@pytest.fixture
def plain():
    """What of texts is in plain letters and was not typed by somebody, each with the text it stands in."""
    data = frozenset(f"{UNITS} {MONTHS} {ITSELF}".split())

    def find(texts, typed=()):
        found = []
        for text in texts:
            rest = CODES.sub(" ", " ".join(text.replace("\u00a0", " ").split()))
            for known in sorted(filter(None, typed), key=len, reverse=True):
                rest = rest.replace(known, " ")
            if words := made_up.plain_words(rest, data):
                found.append((words, text))
        return found

    return find
