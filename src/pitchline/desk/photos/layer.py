"""The names of parts as they lie over a photo on a page."""

from collections.abc import Iterable

from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.photos.queries import spots_of
from pitchline.picture.named_photo import names_over


def layer_over(one: Attachment, names: Iterable[PartName]) -> SafeString:
    """The drawing for over a photo; empty where no part is named on it."""
    spots = spots_of(names)
    return mark_safe(names_over(one.width, one.height, spots, "names") if spots else "")  # noqa: S308  our own drawing, every text in it escaped
