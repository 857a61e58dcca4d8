"""What this app joins when the desk starts: undoing, and photos for papers."""

from pitchline.desk.machine.page_facts import tells
from pitchline.desk.photos.actions import undo_name, undo_removal
from pitchline.desk.photos.queries import photos_for_papers
from pitchline.desk.undo.actions import undoes

undoes("photo", undo_removal)
undoes("photo name", undo_name)
tells("photos", photos_for_papers)
