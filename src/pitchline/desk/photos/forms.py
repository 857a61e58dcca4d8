"""What is said of a photo or document."""

from pitchline.desk.photos.models import MOST_CAPTION
from pitchline.desk.posts import Post, switch, words


class PhotoForm(Post):
    """What it shows and where it belongs."""

    caption = words("caption", MOST_CAPTION)
    part, sheet, finding = words("part", 60), words("walk-round", 60), words("finding", 120)
    keep_place = switch()
