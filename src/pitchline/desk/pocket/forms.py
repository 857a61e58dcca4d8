"""What somebody decides on something a phone brought."""

from pitchline.desk.posts import Post, choice, reason, sent_id
from pitchline.desk.spoken import later

TAKE, TOGETHER, GO = "take", "together", "go"


class Decision(Post):
    """Taken in, to another machine or with another walk-round, or let go; and why."""

    decision = choice(
        later("what to do"),
        [(TAKE, later("take it in")), (TOGETHER, later("put both together")), (GO, later("let it go"))],
    )
    machine, why = sent_id(), reason()
