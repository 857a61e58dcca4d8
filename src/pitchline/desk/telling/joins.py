"""What this app joins when the desk starts: it hears of every judgement, sends in the background, and says what is held up."""

from pitchline.desk.machine.judging import judged
from pitchline.desk.machine.page_facts import tells
from pitchline.desk.telling.hooks import changed, off_by_itself
from pitchline.desk.telling.letters import held_up
from pitchline.desk.telling.worker import WORKER
from pitchline.desk.worker import hire

judged.connect(changed, dispatch_uid="changed-verdicts")
hire(WORKER)
tells("hook off", off_by_itself)
tells("mail held up", held_up)
