"""What is said of a photo or document."""

from pitchline.desk.photos.models import MOST_CAPTION
from pitchline.desk.posts import Post, switch, words
from pitchline.desk.spoken import later


class PhotoForm(Post):
    """What it shows and where it belongs."""

    caption = words(later("caption"), MOST_CAPTION)
    part, sheet, finding = words(later("part"), 60), words(later("walk-round"), 60), words(later("finding"), 120)
    keep_place = switch(later("keep the place"))
