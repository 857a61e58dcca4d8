"""What was seen earlier and not looked over since: the day is a field of the finding, and is said behind its note.

Before 0.7.0 the desk wrote it into the note, in English; before 0.4.0 it stood nowhere else.
"""

import datetime as dt
import re

from pitchline.trade.findings import Finding
from pitchline.trade.writing import MONTHS
from pitchline.words.speaking import worded

_IN_NOTE = re.compile(
    rf"(?:^|; )last seen ([1-9]\d?) ({'|'.join(MONTHS)}) (\d{{4}}), not looked over since\Z", re.ASCII
)


def carried_by_note(note: str) -> dt.date | None:
    """The day somebody last saw a finding, where a note says it in the desk's own words.

    Such a part is taken as not looked over. Where the desk knows the words to be a person's own, the file says that no day is
    known: `last_seen_on` null.
    """
    told = _IN_NOTE.search(note)
    try:
        return dt.date(int(told[3]), MONTHS.index(told[2]) + 1, int(told[1])) if told is not None else None
    except ValueError:  # no day of the calendar, so no note of ours
        return None


def own_note(finding: Finding) -> str:
    """What somebody noted, less what the desk once added to it."""
    is_ours = finding.last_seen_on is not None and carried_by_note(finding.note) is not None
    return _IN_NOTE.sub("", finding.note) if is_ours else finding.note


def note_said(finding: Finding) -> str:
    """What was noted of a finding, and of one carried over when somebody last saw it."""
    note = own_note(finding)
    if finding.last_seen_on is None:
        return note
    day = finding.last_seen_on.isoformat()
    if not note:
        return worded("last seen {day:day}, not looked over since", day=day)
    return worded("{note}; last seen {day:day}, not looked over since", note=note, day=day)
