"""The command that says which part of a list fits."""

import pytest

from pitchline.cli import main

ROWS = """unit,mm

number,part,tread diameter,bolt spacing along,bolt spacing across,flanges
R1,bottom roller,180,180,200,1
R2,bottom roller,180,180,200,2
R3,bottom roller,190,180,215,1
"""


@pytest.fixture
def parts(tmp_path):
    file = tmp_path / "parts.csv"
    file.write_text(ROWS, encoding="utf-8")
    return str(file)


def ask(parts, *readings, part="bottom roller"):
    return main(["match", parts, "--part", part, *[bit for one in readings for bit in ("--read", one)]])


def test_it_says_what_to_read_next_while_it_is_not_sure(parts, capsys):
    assert ask(parts, "tread diameter=168", "bolt spacing along=180.4") == 0
    told = capsys.readouterr().out
    assert told.startswith("Not sure yet")
    assert "To read next: flanges" in told


def test_it_says_which_fits(parts, capsys):
    assert ask(parts, "tread diameter=168", "flanges=2", "bolt spacing across=200") == 0
    assert capsys.readouterr().out.startswith("R2 fits what was read")


def test_it_says_that_none_of_them_fits(parts, capsys):
    assert ask(parts, "tread diameter=250", "bolt spacing across=260") == 0
    assert capsys.readouterr().out.startswith("Probably none of these")


@pytest.mark.parametrize("reading", ["tread diamter=168", "tread diameter", "teeth=23"])
def test_a_size_it_does_not_know_is_refused_with_those_it_knows(parts, capsys, reading):
    assert ask(parts, reading) == 2
    assert "tread diameter" in capsys.readouterr().err


def test_a_list_without_such_parts_says_so(parts, capsys):
    assert ask(parts, "teeth=23", part="sprocket") == 2
    assert "a list with such parts" in capsys.readouterr().err
