"""What this app joins when the desk starts: the work in the background."""

from pitchline.desk.learning.worker import WORKER
from pitchline.desk.worker import hire

hire(WORKER)
