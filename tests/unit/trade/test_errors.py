import pytest

from pitchline.trade.errors import InputError, NotAllowedError, PitchlineError, Problem


def test_a_refusal_names_field_value_allowed_and_next_step():
    error = NotAllowedError("sag", "-3 mm", "0 mm or more", "Measure again.")
    assert str(error) == "sag: '-3 mm' is not allowed; allowed: 0 mm or more. Measure again."
    assert isinstance(error, ValueError)
    assert isinstance(error, PitchlineError)


def test_a_problem_tells_file_and_row():
    problem = Problem("sag", "x", "a length", "Type it again.").at("sheet.csv", 12)
    assert str(problem).startswith("sheet.csv, row 12: sag: 'x'")


def test_a_place_already_told_is_not_overwritten():
    problem = Problem("sag", "x", "a length", "Type it again.", "first.csv", 3).at("second.csv", 9)
    assert (problem.file, problem.row) == ("first.csv", 3)


def test_an_input_error_says_every_problem():
    problems = tuple(Problem(field, "x", "a length", "Type it again.") for field in ("sag", "pitch"))
    assert [line.split(":")[0] for line in str(InputError(problems)).splitlines()] == ["sag", "pitch"]


def test_refusals_are_caught_as_one_family():
    with pytest.raises(PitchlineError):
        raise InputError(())
