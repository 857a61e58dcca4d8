"""What is said of a photo or document, and of a part named on a photo."""

from django import forms

from pitchline.desk.photos.models import MOST_CAPTION
from pitchline.desk.posts import Post, sent_id, switch, words
from pitchline.desk.spoken import later
from pitchline.trade.parts import PartKind
from pitchline.words.names import named


class PhotoForm(Post):
    """What it shows and where it belongs."""

    caption = words(later("caption"), MOST_CAPTION)
    part, sheet, finding = words(later("part"), 60), words(later("walk-round"), 60), words(later("finding"), 120)
    keep_place = switch(later("keep the place"))


def _percent(label: str) -> forms.IntegerField:
    return forms.IntegerField(min_value=0, max_value=100, label=label)


class NameForm(Post):
    """A part's name on a photo: which part, where the arrow ends, where the name stands; in percent of the photo."""

    name_id = sent_id()
    named = forms.ChoiceField(
        choices=[(one.value, later(named(one))) for one in PartKind], label=later("part named")
    )
    tip_x, tip_y = _percent(later("arrow from the left")), _percent(later("arrow from above"))
    at_x, at_y = _percent(later("name from the left")), _percent(later("name from above"))
