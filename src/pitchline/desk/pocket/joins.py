"""What this app joins when the desk starts: what each kind of record does."""

from pitchline.desk.pocket import doing as doing
