"""What this app joins when the desk starts: jobs in the background."""

from pitchline.desk.api.job_work import JOBS
from pitchline.desk.worker import hire

hire(JOBS)
