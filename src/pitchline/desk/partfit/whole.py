"""Which running gear of the gear list a machine's is."""

import datetime as dt
from dataclasses import dataclass

from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.gearbook.parts import dossier_of_part
from pitchline.desk.gearbook.queries import entries_of, fit_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.match.from_machine import parts_of_gear, read_of_gear
from pitchline.match.whole_gear import ListedGear, WholeMatch, match_gear
from pitchline.match.wording import gear_answer
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.wear.doubt import reading_doubt
from pitchline.words import label, say
from pitchline.words.labels import plural, singular
from pitchline.words.speaking import in_a_hundred


@dataclass(frozen=True, slots=True)
class Whole:
    """What the gear list says of a machine's running gear.

    Parameters
    ----------
    match : WholeMatch
        Its running gears, the best first.
    entries : list of BookEntry
        The list, in the order of `match`.
    day : datetime.date or None
        The day of the walk-round it rests on; None where none was made.
    given : BookEntry or None
        The one it was given from the gear list, whose counts are then not held against it.
    """

    match: WholeMatch
    entries: list[BookEntry]
    day: dt.date | None
    given: BookEntry | None

    @property
    def said(self) -> str:
        """The answer in a sentence."""
        return say(gear_answer(self.match, [one.name for one in self.entries]))

    @property
    def rows(self) -> list[tuple[BookEntry, str, str]]:
        """Each running gear, how likely it is, and what does not agree."""
        told = []
        for one in self.match.ranked:
            sizes = [f"{label(size)} ({singular(part)})" for part, size in one.outside]
            outside = ", ".join([*sizes, *(plural(part) for part in one.counts_apart)])
            told.append((self.entries[one.at], in_a_hundred(one.chance), outside))
        return told

    @property
    def none(self) -> str:
        """How likely it is that the list has not got it."""
        return in_a_hundred(self.match.none)

    @property
    def looks(self) -> list[str]:
        """What tells the first two apart, after the first."""
        return [f"{label(look.size)} ({singular(part)})" for part, look in self.match.looks[1:3]]


def whole_of(machine: Machine) -> Whole | None:
    """What the gear list says of a machine's running gear; None where the list is empty, or nothing is known of the machine."""
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError):  # its page says what is wrong with its file
        dossier = None
    if dossier is None:
        return None
    entries, listed = [], []
    for entry in entries_of(machine.business).filter(put_away_at=None):
        try:
            known = dossier_of_part(entry.text)
        except (InputError, NotAllowedError):  # its own page says what is wrong with it
            continue
        entries.append(entry)
        listed.append(ListedGear(entry.name, known.gear, parts_of_gear(entry.name, known.gear, known.limits)))
    fitting, last = fit_of(machine), dossier.last_walk_round
    counted = None if fitting is not None else dossier.gear
    readings = last.readings if last is not None else ()
    read = read_of_gear(counted, readings, [reading_doubt(one).u_m for one in readings])
    if not listed or not (read or counted):
        return None
    day = last.date if last is not None and readings else None
    return Whole(match_gear(listed, read, counted), entries, day, fitting.entry if fitting is not None else None)
