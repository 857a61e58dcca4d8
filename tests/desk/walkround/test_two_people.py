"""Several people at one walk-round at once, in threads of their own: every entry stands, stood, or is kept aside.

The claims hold for whatever order the threads take; the seeds only vary who writes where and how stale their page is.
"""

import random
import threading
import uuid
from itertools import pairwise

import pytest
from django.db import connection

from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.actions import save_lines
from pitchline.desk.walkround.form_lines import Typed
from pitchline.desk.walkround.models import NOTHING_SEEN, Aside, ReadingRow, SeenRow, Sheet

pytestmark = pytest.mark.django_db(transaction=True)
PEOPLE, WRITINGS = 4, 15
KEYS = ("link/left:rail_height", "link/right:rail_height", "bottom_roller/left/3:tread_diameter")


class Person(threading.Thread):
    """Somebody with a page of their own: it knows the versions it was last told, and sometimes reads anew."""

    def __init__(self, number, seed, sheet_id, business, gate):
        super().__init__()
        self.chance, self.writer = random.Random(f"{seed} {number}"), f"page {number}"
        self.sheet_id, self.gate, self.number = sheet_id, gate, number
        self.actor = Actor(business, f"person {number}")
        self.seen, self.wrote, self.error = dict.fromkeys(KEYS, 0), [], None

    def run(self):
        """Write again and again."""
        try:
            self.gate.wait()
            for count in range(WRITINGS):
                self.write(self.chance.choice(KEYS), f"{100 + self.number}.{count + 1:03}")
        except BaseException as error:  # told by the test
            self.error = error
        finally:
            connection.close()

    def write(self, key, text):
        """One line, as the page sends it."""
        if self.chance.random() < 0.4:  # the page is opened anew
            place, _, what = key.partition(":")
            part, side, *position = place.split("/")
            where = {"part": part, "side": side, "position": int(position[0]) if position else 0}
            row = ReadingRow.objects.filter(sheet=self.sheet_id, measurand=what, **where).first()
            self.seen[key] = row.version if row is not None else 0
        line = Typed(key, {"1": text}, self.seen[key])
        (saved,) = save_lines(self.actor, sheet_id=self.sheet_id, writer=self.writer, lines=[line])
        self.wrote.append((key, text, self.seen[key], saved))
        if not saved.aside:
            self.seen[key] = saved.version


@pytest.mark.parametrize("seed", range(4))
def test_every_entry_stands_stood_or_is_kept_aside(seed, bring, dossier):
    machine = bring(dossier, judged=False)
    business = local_actor().business
    sheet = Sheet.objects.create(business=business, machine=machine, date_text="2026-11-25")
    gate = threading.Barrier(PEOPLE)
    people = [Person(number, seed, sheet.pk, business, gate) for number in range(PEOPLE)]
    for person in people:
        person.start()
    for person in people:
        person.join()
    assert [person.error for person in people] == [None] * PEOPLE
    wrote = [(person.writer, *one) for person in people for one in person.wrote]
    assert len(wrote) == PEOPLE * WRITINGS
    trail = set(Change.objects.filter(machine_id=machine.pk).values_list("after", flat=True))
    aside = {(one.key, one.fields["1"]) for one in Aside.objects.all()}
    for _, key, text, _, saved in wrote:
        assert (key, text) in aside if saved.aside else text in trail
    rows = {f"{row.part}/{row.side}" + (f"/{row.position}" if row.position else "") + f":{row.measurand}": row
            for row in ReadingRow.objects.filter(sheet=sheet)}  # fmt: skip
    for key, row in rows.items():
        check_one_line(row, [(writer, text, seen, saved) for writer, at, text, seen, saved in wrote if at == key])


def check_one_line(row, wrote):
    """Versions follow each other without a gap, and nobody overwrote what they had not seen."""
    stood = sorted((one for one in wrote if not one[3].aside), key=lambda one: one[3].version)
    assert [one[3].version for one in stood] == list(range(1, len(stood) + 1))
    assert (row.typed, row.version) == ([stood[-1][1]], len(stood))
    for (before, *_), (writer, _, seen, saved) in pairwise(stood):
        assert writer == before or seen == saved.version - 1


def test_two_who_begin_the_same_walk_round_at_once_begin_one(bring, dossier):
    """The phone's id is sent twice, by two threads at the same moment: one sheet, and both are answered with it."""
    from pitchline.desk.walkround.actions import start_sheet

    machine, sheet_id, actor = bring(dossier, judged=False), uuid.uuid4(), local_actor()
    gate, got = threading.Barrier(PEOPLE), []

    def begin():
        try:
            gate.wait()
            got.append(start_sheet(actor, machine_id=machine.pk, sheet_id=sheet_id, day=machine.last_walk_on).pk)
        except Exception as error:  # told by the test
            got.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=begin) for _ in range(PEOPLE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert got == [sheet_id] * PEOPLE
    assert Sheet.objects.filter(pk=sheet_id).count() == 1
    assert Change.objects.filter(what="walk-round begun").count() == 1


def test_two_who_tap_the_same_finding_at_once_lose_nothing(bring, dossier):
    machine = bring(dossier, judged=False)
    actor = local_actor()
    sheet = Sheet.objects.create(business=actor.business, machine=machine, date_text="2026-11-25")
    gate, got = threading.Barrier(3), []

    def tap(number, bad):
        try:
            gate.wait()
            line = Typed("bottom_roller/left/3:leak", {"bad": bad, "many": "1"}, 0)
            who = Actor(actor.business, f"person {number}")
            got.extend(
                (bad, one) for one in save_lines(who, sheet_id=sheet.pk, writer=f"page {number}", lines=[line])
            )
        finally:
            connection.close()

    threads = [threading.Thread(target=tap, args=pair) for pair in enumerate(("slight", "clear", "severe"))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(got) == 3
    assert [bad for bad, one in got if not one.aside] == [SeenRow.objects.exclude(kind=NOTHING_SEEN).get().how_bad]
    assert {one.fields["bad"] for one in Aside.objects.all()} == {bad for bad, one in got if one.aside}
    assert Aside.objects.count() == 2
