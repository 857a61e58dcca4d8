"""Every form of the desk, field by field: a zero byte, a choice nobody offers, a version that is missing, a letter too many."""

import pytest
from django import forms

from desk_forms import FORMS, made
from pitchline.desk.posts import Post, Version

pytestmark = pytest.mark.django_db
FIELDS = [(name, field) for name in FORMS for field in made(name, {}).fields]
TEXTS = [one for one in FIELDS if type(made(one[0], {}).fields[one[1]]) is forms.CharField]
CHOICES = [one for one in FIELDS if isinstance(made(one[0], {}).fields[one[1]], forms.ChoiceField)]
VERSIONS = [one for one in FIELDS if one[1] == "seen_version"]


def complaints(name, field, text):
    """The codes of what a form says against one field, everything else left empty."""
    form = made(name, {field: text})
    return {error.code for error in form.errors.as_data().get(field, [])}


def test_forms_of_every_app_are_here():
    """A form that is nowhere found is nowhere tried."""
    assert {"AboutForm", "BookForm", "FileForm", "GroundForm", "OutlookForm", "PlanForm", "YardQuestion"} <= set(
        FORMS
    )
    assert {"Save", "SettingsForm", "PhotoForm", "Reason", "PutAway", "Archived", "Version"} <= set(FORMS)
    assert len(FORMS) >= 25
    assert len(TEXTS) > 60
    assert len(CHOICES) > 25


@pytest.mark.parametrize(("name", "field"), TEXTS)
def test_every_text_has_a_limit_and_no_letter_more(name, field):
    most = made(name, {}).fields[field].max_length
    assert most is not None
    assert "max_length" in complaints(name, field, "9" * (most + 1))
    assert "max_length" not in complaints(name, field, "9" * most)


@pytest.mark.parametrize(("name", "field"), TEXTS)
def test_no_text_takes_a_zero_byte(name, field):
    assert "null_characters_not_allowed" in complaints(name, field, "a\x00b")


@pytest.mark.parametrize(("name", "field"), [one for one in FIELDS if one not in TEXTS])
def test_nothing_else_takes_one_either(name, field):
    if isinstance(made(name, {}).fields[field], forms.BooleanField):  # a box is ticked, whatever it is sent with
        assert made(name, {field: "a\x00b"}).fields[field].clean("a\x00b") is True
    else:
        assert complaints(name, field, "a\x00b")


@pytest.mark.parametrize(("name", "field"), CHOICES)
def test_choice_nobody_offers_is_refused(name, field):
    assert complaints(name, field, "no such choice") == {"invalid_choice"}
    offered = [key for key, _ in made(name, {}).fields[field].choices if key != ""]
    assert complaints(name, field, str(offered[-1])) == set()


@pytest.mark.parametrize(("name", "field"), VERSIONS)
def test_version_that_is_missing_or_none_is_refused(name, field):
    assert complaints(name, field, "") == {"required"}
    for text in ("one", "-1", "9" * 20, "1.5"):
        assert complaints(name, field, text)


SEVERAL_THINGS = {
    "labour": "its cost, its hours, whether a quote has it",
    "text": "what is looked for, a whole file",
    "kind": "of machine, of shoe",
    "share": "of the hours, of a ground",
    "source": "of a size, of prices",
    "usual": "hours in a week, the ground so far",
    "name": "of a machine, of an entry of the gear list, of a phone",
}
"""Names that fields of several things have, each with its own label."""


def test_fields_of_one_name_have_one_label():
    """The longest says more, and begins as the others do."""
    labels = {}
    for name in FORMS:
        for field, one in made(name, {}).fields.items():
            labels.setdefault(field, set()).add(str(one.label or "").casefold())
    longest = {field: max(called, key=len) for field, called in labels.items()}
    differ = {
        field: called
        for field, called in labels.items()
        if not all(longest[field].startswith(one) for one in called) and field not in SEVERAL_THINGS
    }
    assert differ == {}


def test_missing_version_says_which_one():
    (problem,) = Version({}, name="seen_version").problems
    assert problem.field == "version"
    assert problem.next_step == "Open the page again and send it from there."


SHORT = [(name, field) for name, field in TEXTS if issubclass(FORMS[name], Post)]


@pytest.mark.parametrize(("name", "field"), SHORT)
def test_refusal_of_a_short_form_says_field_count_limit_and_what_to_do(name, field):
    most = made(name, {}).fields[field].max_length
    (problem,) = (one for one in made(name, {field: "9" * (most + 1)}).problems if one.seen.endswith("letters"))
    assert problem.field == (made(name, {}).fields[field].label or field)
    assert problem.seen == f"{most + 1:,} letters"
    assert problem.allowed == f"{most:,} letters at most"
    assert problem.next_step.startswith("Shorten it")


def test_wrong_choice_is_told_with_every_one_that_is_right():
    (problem,) = made("YardQuestion", {"call": "perhaps"}).problems
    assert (problem.field, problem.seen, problem.next_step) == ("call", "perhaps", "Choose one of them.")
    assert problem.allowed == "stop, book, run, not read"
