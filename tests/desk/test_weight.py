"""What a page weighs, and what a phone must fetch to show it: HTML, style sheets and scripts as they are, not squeezed.

The bound is the one asked for: 300 kB for a machine's page without photos. Fonts are left out: fetched once and kept for good.
"""

import re
from posixpath import dirname, join, normpath

import pytest
from django.contrib.staticfiles import finders

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.desk.yard.demo import open_demo_yard

MOST_BYTES = 300_000


@pytest.fixture
def largest(actor):
    """The demo machine with the most parts, judged."""
    open_demo_yard(actor)
    machine = max(Machine.objects.all(), key=lambda one: len(known_dossier(one).gear.places()))
    judge_machine(actor, machine.pk)
    machine.refresh_from_db()
    return machine


@pytest.fixture
def round_of_largest(largest, begin):
    """A walk-round begun on it."""
    return begin(largest)


def fetched(name, known):
    """A file and the modules it imports, by name."""
    with open(finders.find(name), encoding="utf-8") as file:
        text = file.read()
    if name not in known:
        known[name] = len(text.encode())
        for other in re.findall(r'from "(\.[^"]+)"', text) if name.endswith(".js") else ():
            fetched(normpath(join(dirname(name), other)), known)


def weight(client, address):
    """Bytes of a page with all it loads."""
    page = client.get(address).content
    known = {"page": len(page)}
    for name in re.findall(r'(?:<link rel="stylesheet" href|<script[^>]* src)="/static/([^"]+)"', page.decode()):
        fetched(name, known)
    assert len(known) > 3, "nothing but the page was counted"
    return sum(known.values()), known


def test_largest_machines_page_is_light(client, largest):
    heavy, known = weight(client, f"/machines/{largest.pk}/")
    assert heavy < MOST_BYTES, known


def test_every_part_page_of_the_largest_machine_is_light(client, largest):
    for place in known_dossier(largest).gear.places():
        heavy, known = weight(client, f"/machines/{largest.pk}/parts/{place.key}/")
        assert heavy < MOST_BYTES, (place.key, known)


@pytest.mark.parametrize("way", ["", "at/bush/left/"])
def test_walk_round_of_the_largest_machine_is_light(client, round_of_largest, way):
    heavy, known = weight(client, f"/walk-rounds/{round_of_largest}/{way}")
    assert heavy < MOST_BYTES, known


@pytest.mark.parametrize("way", ["", "at/bush/left/"])
def test_walk_round_stays_light_once_everything_is_read(client, largest, round_of_largest, way):
    """The heaviest it gets by readings: every line written, as on the walk-round before."""
    before = largest.sheets.filter(state=Sheet.FINISHED).last()
    rows = list(before.readingrows.all())
    for row in rows:
        row.pk, row.sheet_id = None, round_of_largest
    ReadingRow.objects.bulk_create(rows)
    heavy, known = weight(client, f"/walk-rounds/{round_of_largest}/{way}")
    assert heavy < MOST_BYTES, known
