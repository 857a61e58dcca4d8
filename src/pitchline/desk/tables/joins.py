"""What this app joins when the desk starts: it hears of every judgement."""

from pitchline.desk.machine.judging import judged
from pitchline.desk.tables.writing import write_rows

judged.connect(write_rows)
