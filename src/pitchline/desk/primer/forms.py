"""An answer in practice."""

from django import forms

from pitchline.desk.posts import MOST_FIGURE, Post, words
from pitchline.desk.spoken import later

LAST_NUMBER = 100_000


class AnswerForm(Post):
    """Which question, and what was chosen or typed; nothing where somebody does not know yet."""

    number = forms.IntegerField(min_value=0, max_value=LAST_NUMBER, label=later("question"))
    answer = words(later("answer"), MOST_FIGURE)
