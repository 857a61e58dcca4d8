"""What tests say in place of a judgement: a sentence as a file of an earlier version has it."""

from pitchline.trade.saying import AS_WRITTEN, Saying


def written(text):
    """A saying of which only the text is known."""
    return Saying(AS_WRITTEN, {"text": text}, text)
