"""The code of a sheet, as somebody types it; or a photo of it."""

from pitchline.desk.posts import Post, Question, sent_id, words
from pitchline.desk.spoken import later


class CodeQuestion(Question):
    """The letters beside the square."""

    code = words(later("code on the sheet"))


class SheetPhoto(Post):
    """The id the page made, so that a photo sent twice is kept once."""

    send_id = sent_id()
