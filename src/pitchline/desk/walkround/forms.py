"""Short forms of a walk-round; its lines are read in `form_lines.py`."""

from django import forms

from pitchline.desk.posts import MOST_REASON, Post, reason, sent_id, switch
from pitchline.desk.spoken import later


class Begin(Post):
    """The id the page made for a new sheet, and whether it is begun beside an unfinished one."""

    sheet_id = sent_id()
    another = switch(later("another walk-round"))


class Save(Post):
    """Who writes, why, what a button puts in place of a questioned reading, and whether a day to come is right."""

    writer = forms.CharField(required=False, max_length=64)
    why = reason()
    head_is_right = switch(later("day and hours are right"))
    put = forms.CharField(required=False, max_length=MOST_REASON, strip=False)


class Settle(Post):
    """Whether what was kept aside is taken."""

    take = switch(later("take it"))
