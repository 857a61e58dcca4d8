"""What calls are called: one wording for every place that shows one. The words are ours; they are written out here by hand."""

import pytest

from pitchline.trade.calls import Call, Stake
from pitchline.words.called import called

WORDS = {
    (Call.STOP, Stake.UNSAFE): ("stop: unsafe", "stop: unsafe"),
    (Call.STOP, Stake.RUINS): ("stop: ruins what is dearer", "stop: ruins dearer"),
    (Call.BOOK, Stake.WORN_OUT): ("book: worn out, works on at your cost", "book: worn out"),
    (Call.BOOK, Stake.FALLS_DUE): ("book: falls due", "book: due"),
    (Call.BOOK, Stake.MEASURE): ("book: measure again", "book: measure"),
    (Call.BOOK, Stake.SEEN): ("book: seen", "book: seen"),
    (Call.BOOK, Stake.SETTING): ("book: out of its range", "book: out of range"),
    (Call.STOP, None): ("stop", "stop"),
    (Call.RUN, None): ("run", "run"),
    (Call.UNJUDGED, None): ("not read", "not read"),
}


@pytest.mark.parametrize(("one", "words"), WORDS.items())
def test_a_call_says_what_it_is_about(one, words):
    assert (called(*one), called(*one, brief=True)) == words


def test_a_call_that_asks_for_nothing_is_about_nothing():
    assert called(Call.RUN, Stake.FALLS_DUE) == "run"
    assert called(Call.UNJUDGED, Stake.WORN_OUT) == "not read"


def test_the_value_in_files_stays():
    """Stored verdicts and the API say "unjudged"; only what is read by people says "not read"."""
    assert [call.value for call in Call] == ["unjudged", "run", "book", "stop"]
