"""What this app joins when the desk starts: undoing."""

from pitchline.desk.undo.actions import undoes
from pitchline.desk.walkround.putting_away import undo_put_away

undoes("put away", undo_put_away)
