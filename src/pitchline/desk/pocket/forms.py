"""What a phone sends, and what somebody decides on something it brought."""

from django import forms

from pitchline.desk.pocket.records import MOST_RECORD
from pitchline.desk.posts import Post, choice, reason, sent_id
from pitchline.desk.spoken import later

TAKE, TOGETHER, GO = "take", "together", "go"


class SentRecord(Post):
    """A record beside its photo, as JSON."""

    record = forms.CharField(required=False, strip=False, max_length=MOST_RECORD)


class Decision(Post):
    """Taken in, to another machine or with another walk-round, or let go; and why."""

    decision = choice(
        later("what to do"),
        [(TAKE, later("take it in")), (TOGETHER, later("put both together")), (GO, later("let it go"))],
    )
    machine, why = sent_id(), reason()
