"""What this app joins when the desk starts."""

from pitchline.desk.buyer.actions import as_before
from pitchline.desk.undo.actions import undoes

undoes("buyer link", as_before)
