"""What a phone carries: as the desk's own pages say it, light to ask for, and without a price."""

import json
import re
import uuid
from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.bridge.unpriced import unpriced
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.trade.saying import Saying, saying, then
from pitchline.words import say

BUSH = "bush/left:bush_od_forward"


@pytest.fixture
def parcel(client):
    """A machine's parcel."""

    def make(machine):
        answer = client.get(f"/pocket/machines/{machine.pk}")
        assert answer.status_code == 200
        return answer.json()

    return make


def test_yard_says_of_each_machine_what_the_list_says(client, machine):
    told = client.get("/pocket/yard").json()
    (row,) = told["machines"]
    assert (row["id"], row["name"], row["call"]) == (str(machine.pk), machine.name, machine.call)
    assert (row["headline"], row["of"]) == (machine.due_said, "26\u00a0Nov\u00a02026")
    assert not row["draft"]
    assert ["excavator", "excavator"] in told["kinds"]


def test_what_is_due_now_stands_before_what_is_due_later(client, actor, machine):
    """As in the desk's list; 0 hours are not "no hours"."""
    twins = {name: Machine.objects.get(pk=machine.pk) for name in ("due later", "due now", "no hours")}
    for hours_h, (name, twin) in zip((140.0, 0.0, None), twins.items(), strict=True):
        twin.pk, twin.name, twin.short_name, twin.call_rank, twin.due_middle_h = (
            uuid.uuid4(),
            name,
            name,
            9,
            hours_h,
        )
        twin.save(force_insert=True)
    told = [row["name"] for row in client.get("/pocket/yard").json()["machines"]]
    assert told[:3] == ["due now", "due later", "no hours"]


def test_parcel_asks_for_every_part_and_quantity_the_round_at_the_desk_asks_for(client, machine, begin, parcel):
    """Every field of the walk-round's page, and no other."""
    page = client.get(f"/walk-rounds/{begin(machine)}/at/slew_ring/").content.decode()
    asked = set(re.findall(r'data-mark="reading" data-key="([^"]+)"|name="([^"~]+)~1"', page))
    asked = {marked or named for marked, named in asked if not named.startswith("0key0")}
    told = parcel(machine)
    assert {each["key"] for place in told["places"] for each in place["readings"]} == asked
    assert len(asked) > 20
    assert {place["key"] for place in told["places"]} == set(re.findall(r'data-jump="([^"]+)"', page)) - {"end"}
    assert told["hows"].keys() == {each["what"] for place in told["places"] for each in place["readings"]}


def test_parcel_holds_sizes_verdict_drawing_and_cautions(machine, parcel):
    told = parcel(machine)
    read = {each["key"]: each for place in told["places"] for each in place["readings"]}
    sizes = {size["name"]: size["said"] for size in read[BUSH]["sizes"]}
    assert (sizes["new"], sizes["limit"]) == ("60.0", "54.0")
    assert told["verdict"]["headline"].startswith("Run it")
    assert (told["verdict"]["call"], told["verdict"]["call_said"]) == ("run", "run")
    assert {part["place"] for part in told["verdict"]["parts"]} <= {place["key"] for place in told["places"]}
    assert told["drawing"].startswith("<svg")
    assert not re.search(r'href="[^#]', told["drawing"])  # a way to a page the phone does not carry
    assert "competent person" in " ".join(told["cautions"])
    assert (told["hours"], told["hours_on"]) == ("3,000", "7\u00a0Sep\u00a02026")
    assert told["route"]["svg"].count("<g data-side") == 2
    assert told["told"]["joints"] == 45
    assert read[BUSH]["told"]["t"] in told["told"]["tables"]


def test_phone_is_told_no_price(actor, machine, priced_yard, client, parcel):
    Machine.objects.filter(pk=machine.pk).update(to_judge=True, asking_amount=48_000, asking_currency="EUR")
    judge_machine(actor, machine.pk)
    machine.refresh_from_db()
    assert machine.currency  # it is priced at the desk
    text = json.dumps(parcel(machine)) + client.get("/pocket/yard").content.decode()
    assert machine.currency not in text
    assert not re.search(r"48[ ,.\u00a0]?000", text)


def test_sentence_that_names_an_amount_is_left_out_and_the_others_stay(machine):
    from pitchline.desk.bridge.figures import verdict_of

    verdict = verdict_of(machine.judgement)
    priced = saying("turn.would_gain_less_than_it_costs", gain_h=300.0, currency="EUR", worth="900", price="1,200")
    plain = saying("turn.gains_nothing")
    told = {
        said: unpriced(replace(verdict, headline=said)).headline
        for said in (then(plain, saying("turn.not_worth_it", why=priced)), priced, plain)
    }
    assert [say(one) for one in told.values()] == [say(plain), "", say(plain)]
    assert told[plain] == plain
    assert all(isinstance(one, Saying) for one in told.values())


def test_what_the_phone_carries_already_is_not_sent_again(client, machine):
    for address in ("/pocket/yard", f"/pocket/machines/{machine.pk}"):
        first = client.get(address)
        again = client.get(address, headers={"If-None-Match": first["ETag"]})
        assert (again.status_code, again.content) == (304, b"")
        assert first["ETag"].strip('"') == first.json()["etag"]
        assert first["Cache-Control"] == "private, no-cache"
    row = client.get("/pocket/yard").json()["machines"][0]
    assert row["etag"] == client.get(f"/pocket/machines/{machine.pk}").json()["etag"]
    assert client.get("/pocket/hello").json()["yard"] == client.get("/pocket/yard").json()["etag"]


def _line(pocket, machine):
    pocket.line(pocket.begin(machine)[0], BUSH, **{"1": "58.1"})


CHANGES = {
    "a round begun": lambda pocket, machine: pocket.begin(machine),
    "a line written": _line,
    "judged anew": lambda pocket, machine: _judged(machine),
    "renamed": lambda pocket, machine: Machine.objects.filter(pk=machine.pk).update(name="Other", version=7),
    "another language of figures": lambda pocket, machine: Business.objects.update(numbers="comma"),
    "other units": lambda pocket, machine: Business.objects.update(units="imperial"),
    "a tool of the house": lambda pocket, machine: Business.objects.update(
        tools=[{"name": "own", "resolution": "0.1 mm", "permitted_error": "0.1 mm", "repeatability": "0.1 mm"}]
    ),
}


def _judged(machine):
    Machine.objects.filter(pk=machine.pk).update(judgement=None)


@pytest.mark.parametrize("change", CHANGES)
def test_mark_changes_with_whatever_changes_the_parcel(change, client, pocket, machine):
    address = f"/pocket/machines/{machine.pk}"
    before = client.get(address)
    yard = client.get("/pocket/yard")
    CHANGES[change](pocket, machine)
    after = client.get(address, headers={"If-None-Match": before["ETag"]})
    assert after.status_code == 200
    assert client.get("/pocket/yard", headers={"If-None-Match": yard["ETag"]}).status_code == 200


def test_mark_changes_at_midnight(client, machine, settings):
    import datetime as dt

    before = client.get(f"/pocket/machines/{machine.pk}")
    settings.TODAY = settings.TODAY + dt.timedelta(days=1)
    assert (
        client.get(f"/pocket/machines/{machine.pk}", headers={"If-None-Match": before["ETag"]}).status_code == 200
    )


def test_unfinished_round_comes_with_its_lines_as_typed(pocket, machine, parcel):
    sheet, _ = pocket.begin(machine, by="Ann")
    pocket.line(sheet, BUSH, **{"1": "2 9/32 in", "2": "58", "tool": "calliper", "keep": "both sides"})
    pocket.line(sheet, "bush/left:cracked", bad="severe", note="two")
    pocket.line(sheet, "sprocket/left:nothing", looked="looked")
    draft = parcel(machine)["draft"]
    assert (draft["id"], draft["by"], draft["head"]["hours"], draft["left_at"]) == (
        sheet,
        "Ann",
        "3100",
        "sprocket/left",
    )
    fields = {key: line["fields"] for key, line in draft["lines"].items()}
    assert (fields[BUSH]["1"], fields[BUSH]["2"], fields[BUSH]["keep"]) == ("2 9/32 in", "58", "both sides")
    assert (fields["bush/left:cracked"]["bad"], fields["bush/left:cracked"]["note"]) == ("severe", "two")
    assert fields["sprocket/left:nothing"] == {"looked": "looked"}
    assert {line["v"] for line in draft["lines"].values()} == {1}


def test_lines_of_a_draft_sent_back_change_nothing(pocket, machine, parcel):
    """What a phone is handed is in the words it may send."""
    sheet, _ = pocket.begin(machine)
    pocket.line(sheet, BUSH, **{"1": "58.1", "tool": "calliper"})
    pocket.line(sheet, "bush/left:cracked", bad="severe", note="two", many="2")
    pocket.line(sheet, "sprocket/left:nothing", looked="looked")
    before = parcel(machine)["draft"]["lines"]
    for key, line in before.items():
        assert pocket.line(sheet, key, seen=line["v"], **line["fields"])["became"] == "done"
    assert parcel(machine)["draft"]["lines"] == before


def test_archived_machine_is_neither_in_the_list_nor_has_a_parcel(client, actor, machine):
    archive_several(actor, machine_ids=[machine.pk], archived=True)
    assert client.get("/pocket/yard").json()["machines"] == []
    gone = client.get(f"/pocket/machines/{machine.pk}")
    assert (gone.status_code, gone.json()["why"]) == (404, "gone")


def test_machine_without_its_running_gear_can_be_carried_all_the_same(client, actor, parcel):
    one = Machine.objects.create(
        business=actor.business, short_name="bare", name="Bare", kind="dozer", hours_text="12"
    )
    told = parcel(one)
    assert (told["places"], told["verdict"], told["hours"], told["draft"]) == ([], None, "12", None)


def test_machine_that_no_longer_goes_together_is_carried_and_says_why(client, machine, parcel):
    """Its file was changed past the desk: a part of the last round is gone."""
    whole = json.loads(machine.file_text)
    whole["running_gear"]["bottom_rollers_per_side"] = 2
    Machine.objects.filter(pk=machine.pk).update(file_text=json.dumps(whole))
    told = parcel(machine)
    assert len(told["cautions"]) > 2
    assert told["places"]


def test_hello_asks_for_little(client, machine):
    client.get("/pocket/hello")
    with CaptureQueriesContext(connection) as asked:
        told = client.get("/pocket/hello").json()
    assert len(asked) <= 6
    assert told["person"] == "this desk"
    assert told["day"] == "2026-11-26"
    assert told["shapes"] == [1]


def test_parcel_of_nobodys_machine_is_not_found(client, db):
    assert client.get(f"/pocket/machines/{uuid.uuid4()}").status_code == 404
