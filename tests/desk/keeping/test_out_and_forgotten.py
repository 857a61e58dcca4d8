"""Everything comes out in open formats; who asks to be forgotten is, and papers stay readable."""

import html
import json
import re
import uuid
import zipfile
import zlib
from contextlib import suppress
from dataclasses import replace

import pytest
from django.apps import apps
from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import models
from django.utils import timezone

from pitchline.desk.api.models import JobPiece
from pitchline.desk.bridge.figures import inputs_text, verdict_of
from pitchline.desk.buyer.actions import make_link
from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.clock import today
from pitchline.desk.keeping.all_out import write_all
from pitchline.desk.keeping.backup import write_backup
from pitchline.desk.keeping.erasing import OF_CUSTOMER, OF_PERSON, erase_customer, erase_person, still_told
from pitchline.desk.machine.actions import About, keep_about
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.papers import paper_of
from pitchline.desk.meter.models import Feed, MeterHours, SenderName
from pitchline.desk.people.models import Business, Member
from pitchline.desk.people.who import Actor
from pitchline.desk.phones.actions import put_out
from pitchline.desk.phones.models import Phone
from pitchline.desk.staff.actions import change_person, invite
from pitchline.desk.telling.models import Hook
from pitchline.desk.walkround.models import ReadingRow, SeenRow, Sheet
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.exchange.machine_file import machine_from_json
from pitchline.trade.errors import NotAllowedError


@pytest.fixture
def of_somebody(owner, bring, dossier):
    """A machine of a customer's, walked round by somebody who signs in."""
    rounds = tuple(replace(one, by="owner") for one in dossier.walk_rounds)
    machine = bring(replace(dossier, walk_rounds=rounds), who=owner)
    about = About(machine.name, machine.kind, "Example Earthworks", "", "")
    keep_about(owner, machine_id=machine.pk, seen_version=machine.version, about=about)
    machine.refresh_from_db()
    return machine


def test_everything_comes_out_in_open_formats(of_somebody, tmp_path):
    write_all(tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        told = {
            name.rpartition("/")[2]: archive.read(name).decode("utf-8-sig")
            for name in archive.namelist()
            if name.startswith("Owner")
        }
    typed = {"readings-as-typed.csv", "findings-as-typed.csv"}
    assert told.keys() == {"machines.csv", "machine.json", "verdict.json", "people.csv", "changes.csv"} | typed
    assert machine_from_json(told["machine.json"], "x").walk_rounds[0].by == "owner"
    assert json.loads(told["verdict.json"])["machine"]["name"] == of_somebody.name
    assert "Example Earthworks" in told["machines.csv"]
    assert "Example Earthworks" in told["changes.csv"]


def test_every_column_that_says_by_whom_is_known():
    """`judged_by` is no person: the mark of a method."""
    said = {
        field.name
        for model in apps.get_models()
        if model.__module__.startswith("pitchline.")
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField)
        if field.name in ("who", "by") or field.name.endswith("_by")
    }
    assert said - OF_PERSON == {"judged_by"}


PERSON, CUSTOMER = "Quillon Vasq", "Tärn & Sons"


@pytest.fixture
def everywhere(with_login, db, rows_of, client):
    """A yard in which a person and a customer stand at all that keeps a name."""
    business = Business.objects.create(name="Owner's yard")
    user = User.objects.create_user(PERSON, "quillon@yard.example", "long enough 1")
    member = Member.objects.create(user=user, business=business)
    who = Actor(business, PERSON, is_person=True)
    rows_of(who)
    machine = Machine.objects.get(business=business)
    client.post("/sign-in/", {"login": PERSON, "password": "wrong, and long"})
    client.post("/sign-in/", {"login": PERSON, "password": "long enough 1"})
    assert client.get("/own/").status_code == 200
    keep_about(
        who,
        machine_id=machine.pk,
        seen_version=machine.version,
        about=About(machine.name, machine.kind, CUSTOMER, "", ""),
    )
    invite(who, called=PERSON, role="fitter", depots=[])
    change_person(who, member, role="owner", depots=[])
    Phone.objects.update(person=PERSON)
    put_out(who, Phone.objects.get().pk)
    make_link(who, machine, called=CUSTOMER, days=3)
    fern = {"name": "Fern", "kind": "dozer", "hours": "10", "customer": CUSTOMER}
    for address, body in (
        ("jobs", {"writes": [{"method": "POST", "path": "/machines", "body": fern}]}),
        ("machines", fern),
    ):
        sent = client.post(
            f"/api/v1/{address}", body, "application/json", headers={"Idempotency-Key": str(uuid.uuid4())}
        )
        assert sent.status_code == 201, sent.content
    for model in apps.get_models():  # whatever no action above wrote: in every column that holds a name
        if model.__module__.startswith("pitchline."):
            for field in model._meta.concrete_fields:
                text = isinstance(field, models.CharField | models.TextField)
                if text and field.name in OF_PERSON | OF_CUSTOMER and model._base_manager.exists():
                    first = model._base_manager.order_by("pk").first()
                    name = CUSTOMER if field.name in OF_CUSTOMER - OF_PERSON else PERSON
                    model._base_manager.filter(pk=first.pk).update(**{field.name: name})
    SeenRow.objects.create(
        sheet=Sheet.objects.first(), part="chain", side="left", kind="leak", note=f"seen with {PERSON}"
    )
    JobPiece.objects.update(sent=json.dumps(fern, ensure_ascii=False))  # as while it waits
    judge_machine(who, machine.pk)
    machine.refresh_from_db()
    client.get(f"/machines/{machine.pk}/")
    return machine


def readable(name):
    """Columns of every table, and files beside them, in which a name can be read."""
    spelled = {name, json.dumps(name)[1:-1], str(html.escape(name))}
    for model in apps.get_models():
        for row in model._base_manager.all():
            for field in model._meta.concrete_fields:
                value = getattr(row, field.attname)
                if model is Session and field.name == "session_data":
                    value = str(row.get_decoded())
                if isinstance(value, bytes | memoryview):
                    value = bytes(value)
                    with suppress(zlib.error):
                        value = zlib.decompress(value)
                    value = value.decode("utf-8", "replace")
                text = value if isinstance(value, str) else json.dumps(value, default=str, ensure_ascii=False)
                if any(each in text for each in spelled):
                    yield f"{model._meta.label}.{field.name}"
    for path in settings.MADE_HERE.rglob("pieces.sqlite3*"):
        if any(each.encode() in path.read_bytes() for each in spelled):
            yield path.name


def test_nothing_readable_is_left_but_what_somebody_typed_and_that_is_told(everywhere):
    held = set(readable(PERSON)) | set(readable(CUSTOMER))
    assert {"trail.Change.after", "api.JobPiece.sent", "auth.User.username", "machine.Machine.customer"} <= held
    before = verdict_of(everywhere.judgement)
    erase_person(PERSON)
    erase_customer(CUSTOMER)
    assert list(readable(CUSTOMER)) == []
    assert list(readable(PERSON)) == ["walkround.SeenRow.note"]
    assert dict(still_told(PERSON)) == {"walkround.SeenRow.note": 1}
    everywhere.refresh_from_db()
    judgement = everywhere.judgement
    assert replace(verdict_of(judgement), walk_rounds=before.walk_rounds) == before
    for name in ("buyer.pdf", "colleague.pdf", "advert.txt", "verdict.json"):
        assert paper_of(judgement, name)


OUT = {
    "buyer.BuyerLink": "links-for-buyers.csv", "freequote.FreeQuoteRow": "quotes/", "gearbook.BookEntry": "gear-list/",
    "learning.Constants": "learned/", "machine.Machine": "machine.json", "machine.Judgement": "verdict.json",
    "meter.Feed": "hours-fetched-from.csv", "meter.MeterHours": "hours.csv", "meter.SenderName": "names-of-senders.csv",
    "partfit.PartsTable": "parts/", "people.Member": "people.csv", "photos.Attachment": "files/", "shelf.ShelfItem": "shelf.csv",
    "telling.Hook": "hooks.csv", "trail.Change": "changes.csv", "walkround.ReadingRow": "readings-as-typed.csv",
    "walkround.SeenRow": "findings-as-typed.csv", "workplan.DecidedPlan": "plan-", "yard.PriceFile": "prices/",
}  # fmt: skip
"""Where each table comes out."""
NOT_OUT = {
    "api.Answered": "the desk's own, for a day", "api.Job": "the desk's own, for a week", "api.JobPiece": "the same",
    "api.Token": "a key", "people.Business": "its folder is named so",
    "people.Depot": "at machines and people", "phones.Door": "of this computer", "phones.Phone": "a key",
    "phones.Asking": "a key, for minutes", "phones.WrongCode": "for minutes", "pocket.Brought": "stands in walk-rounds",
    "staff.Invitation": "a key", "staff.SignInEvent": "of this desk",
    "tables.PartRow": "made anew from verdicts", "tables.JobRow": "the same", "tables.LayUpRow": "of plans",
    "tables.WorkRow": "stands in machine.json", "tables.PriceRow": "stands in prices", "telling.Delivery": "sent already",
    "telling.Digest": "a wish of a person", "telling.Letter": "sealed", "undo.Undoable": "stands in changes.csv",
    "workplan.FeedPart": "made anew", "yard.MachineList": "its machines", "shelf.LayUpNeeds": "made anew",
    "gearbook.BookVersion": "the newest of each", "gearbook.Fitting": "stands in changes.csv",
    "photos.PartName": "drawn on photos of this desk", "workplan.Plan": "worked out anew",
    "primer.Practised": "what a person practised", "learning.LearningTurn": "when it is learned next",
    "walkround.Sheet": "beside its readings and findings", "walkround.Aside": "set aside for a look",
    "walkround.FormerReading": "the reading that stands now comes out",
}  # fmt: skip
"""Tables that do not come out, and why not."""


def test_every_table_comes_out_or_there_is_a_reason(addresses, owner, packed, tmp_path):
    machine, plan = Machine.objects.get(business=owner.business), Plan.objects.get()
    sheet = Sheet.objects.filter(state=Sheet.DRAFT).first()
    DecidedPlan.objects.create(
        business=owner.business,
        machine=machine,
        plan=plan,
        steps=[],
        cost=1,
        who="owner",
        why="x",
        verdict_packed=packed["verdict_packed"],
    )
    MeterHours.objects.create(
        business=owner.business,
        machine=machine,
        at=timezone.now(),
        day=today(),
        meter_h=5,
        source="x",
        who="owner",
    )
    SenderName.objects.create(business=owner.business, name="x", source="x")
    ReadingRow.objects.create(sheet=sheet, part="bush", side="left", measurand="pitch", typed=["1"])
    SeenRow.objects.create(sheet=sheet, part="chain", side="left", kind="leak")
    Hook.objects.update(secret_sealed="not to be read")
    Feed.objects.update(secret_sealed="not to be read")
    BuyerLink.objects.update(mark="not to be read")
    Business.objects.update(feed_secret="not to be read")
    write_all(tmp_path / "all.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        told = {name: archive.read(name) for name in archive.namelist() if name.startswith("Owner")}
    names = {re.sub(r"machines/[^/]+/", "", name.partition("/")[2]) for name in told}
    missing = [label for label, begin in OUT.items() if not any(name.startswith(begin) for name in names)]
    assert missing == []
    ours = {one._meta.label for one in apps.get_models() if one.__module__.startswith("pitchline.")}
    assert ours == OUT.keys() | NOT_OUT.keys()
    hooks = told[next(name for name in told if name.endswith("/hooks.csv"))].decode()
    assert "https://hears.example/" in hooks
    assert not any(b"not to be read" in content for content in told.values())


def test_who_is_forgotten_stands_nowhere_and_papers_stay_readable(of_somebody, tmp_path, owner):
    judgement = of_somebody.judgement
    before = verdict_of(judgement)
    (person, _), (customer, _) = erase_person("owner"), erase_customer("Example Earthworks")
    write_backup(tmp_path / "a.zip")
    with zipfile.ZipFile(tmp_path / "a.zip") as archive:
        rows = b"".join(archive.read(name) for name in archive.namelist() if name.startswith("rows/"))
    assert b"Example Earthworks" not in rows
    assert b'"owner"' not in rows.replace(b'"role": "owner"', b"")  # which is a right, not a name
    judgement.refresh_from_db()
    assert replace(verdict_of(judgement), walk_rounds=before.walk_rounds) == before
    assert person in inputs_text(judgement)
    assert "owner" not in [one.by for one in machine_from_json(inputs_text(judgement), "x").walk_rounds]
    of_somebody.refresh_from_db()
    assert of_somebody.customer == customer
    with pytest.raises(NotAllowedError):
        erase_customer("Example Earthworks")


def test_who_is_forgotten_signs_in_no_more(owner_client):
    assert owner_client.get("/").status_code == 200
    erase_person("owner")
    assert owner_client.get("/").status_code == 302
