"""What a workshop found that looked for a cause or a sign, entered at the desk and over the API."""

import json

from pitchline.cause.signs import READ
from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.trade.causes import Sign
from pitchline.words import label
from pitchline.words.speaking import capital


def looked(machine):
    machine.refresh_from_db()
    return json.loads(machine.file_text).get("looked_for", [])


def test_an_answer_is_kept_told_and_undone(client, machine, words):
    page = f"/machines/{machine.pk}/looked/"
    text = words(client.get(page))
    assert "A joint or hub hot" in text
    assert "Causes the workshop looked into" in text
    assert client.post(page, {"about": "sign:hot", "there": "yes", "note": "left idler"}).status_code == 302
    (found,) = looked(machine)
    assert (found["sign"], found["there"], found["note"]) == ("hot", True, "left idler")
    assert Change.objects.filter(machine_id=machine.pk, what__contains="machine file").exists()
    assert "left idler" in words(client.get(page))
    client.post(f"/undo/{Undoable.objects.latest('at').pk}/")
    assert looked(machine) == []


def test_what_its_track_has_not_is_refused_and_nothing_is_kept(client, machine):
    page = f"/machines/{machine.pk}/looked/"
    for sent in ({"about": "sign:cuts", "there": "yes"}, {"about": "sign:hot"}, {"about": "x", "there": "no"}, {}):
        assert client.post(page, sent).status_code == 400
    assert looked(machine) == []


def test_what_the_verdict_proposes_stands_first_and_the_round_leads_there(client, machine, words, begin):
    """The verdict's own looks once something was seen, less those that are readings."""
    client.post(f"/machines/{machine.pk}/looked/", {"about": "sign:hot", "there": "yes"})
    judge_waiting()
    machine.refresh_from_db()
    proposed = [look.sign for look in verdict_of(machine.judgement).causes.looks if look.sign not in READ]
    text = words(client.get(f"/machines/{machine.pk}/looked/"))
    assert proposed
    first = text[text.index("To look at next") : text.index("Other signs")]
    for sign in Sign:
        if sign not in READ:
            assert (capital(label(sign)) in first) is (sign in proposed), sign
    round_page = client.get(f"/walk-rounds/{begin(machine)}/at/end/").content.decode()
    assert f'href="/machines/{machine.pk}/looked/"' in round_page
