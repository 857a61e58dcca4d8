"""Short forms of a walk-round; its lines are read in `form_lines.py`."""

from django import forms

from pitchline.desk.posts import MOST_REASON, Post, choice, reason, sent_id, switch
from pitchline.desk.spoken import later

INSTEAD, ANOTHER_DAY = "instead", "another day"


class Begin(Post):
    """The id the page made for a new sheet, and whether it is begun beside an unfinished one, or a finished one of today."""

    sheet_id = sent_id()
    another = switch(later("another walk-round"))
    beside = choice(
        later("beside the one of today"),
        ((INSTEAD, later("in its place")), (ANOTHER_DAY, later("of another day"))),
    )


class Save(Post):
    """Who writes, why, what a button puts in place of what was typed, whether a day to come is right, which one makes room."""

    writer = forms.CharField(required=False, max_length=64)
    why = reason()
    head_is_right = switch(later("day and hours are right"))
    put = forms.CharField(required=False, max_length=MOST_REASON, strip=False)
    instead = sent_id()


class Settle(Post):
    """Whether what was kept aside is taken."""

    take = switch(later("take it"))
