"""Short forms of a walk-round; its lines are read in `form_lines.py`."""

from django import forms

from pitchline.desk.posts import MOST_REASON, Post, reason, sent_id, switch


class Begin(Post):
    """The id the page made for a new sheet."""

    sheet_id = sent_id()


class Save(Post):
    """Who writes, why, and what a button puts in place of a questioned reading."""

    writer = forms.CharField(required=False, max_length=64)
    why = reason()
    put = forms.CharField(required=False, max_length=MOST_REASON, strip=False)


class Settle(Post):
    """Whether what was kept aside is taken."""

    take = switch()
