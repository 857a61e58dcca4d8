"""A desk with an owner and a stranger, and one invented machine that has been walked round twice."""

import datetime as dt
import http.client
import os
import re
import shutil
import subprocess
import sys
import time
import uuid
from dataclasses import asdict
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.test import client as django_client
from django.urls import reverse
from django.utils import timezone

from brought_once import brought_once
from desk_addresses import BOOK, MACHINE, YARD
from judged_once import footing_once, judge_once, plan_once, text_once, write_once
from pitchline.desk import crew, worker
from pitchline.desk.api import verdicts
from pitchline.desk.api.models import Token
from pitchline.desk.bridge import figures, machines
from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.clock import today
from pitchline.desk.freequote.actions import keep_quote
from pitchline.desk.freequote.making import ground_of
from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.machine import judging
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.sheet_code import code_of
from pitchline.desk.meter.models import Feed
from pitchline.desk.outlook import views as outlook_views
from pitchline.desk.partfit.actions import bring_table, set_columns
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Business, Depot, Member
from pitchline.desk.people.who import Actor
from pitchline.desk.phones.models import Asking, Phone
from pitchline.desk.photos import store
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.pocket.models import Brought
from pitchline.desk.prices import content_of, enter_prices
from pitchline.desk.primer.pieces import Piece, PieceKind
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.staff.models import Invitation
from pitchline.desk.telling.models import Hook
from pitchline.desk.undo.actions import remember
from pitchline.desk.uploads import Upload
from pitchline.desk.walkround.models import Aside, Sheet
from pitchline.desk.workplan import actions, stored
from pitchline.desk.workplan.models import Plan
from pitchline.desk.workplan.stored import packed_footing, packed_verdict
from pitchline.desk.yard.importing import write_machine
from pitchline.desk.yard.models import MachineList
from pitchline.exchange.learned_file import learned_json
from pitchline.exchange.parts_file import Column
from pitchline.exchange.prices_file import write_prices
from pitchline.money.free_quote import Asked, free_quote
from pitchline.outlook.audit import Audit
from pitchline.outlook.learned import weak
from pitchline.stops.settings import PlanSettings
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import PLAIN, writing
from tables_once import django_db_setup  # noqa: F401  a fixture

TODAY = django_settings.TODAY
"""The day every test is on, unless it says another; no test goes by the clock."""


@pytest.fixture(scope="session")
def nothing_static(tmp_path_factory):
    """A folder where no static file was collected."""
    return tmp_path_factory.mktemp("static")


@pytest.fixture(scope="session", autouse=True)
def page_alone():
    """What a page was rendered from is kept for the page; not for each of the hundreds of pieces in it."""
    keep = django_client.store_rendered_templates

    def first(kept, *told, **named):
        if not kept:
            keep(kept, *told, **named)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(django_client, "store_rendered_templates", first)
        yield


@pytest.fixture(autouse=True)
def plain_desk(settings, nothing_static, monkeypatch):
    """Static files by their own names, and each judgement and each plan worked out once over all tests."""
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }
    settings.STATIC_ROOT = nothing_static
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    for asks in (judging, actions, verdicts, outlook_views):
        monkeypatch.setattr(asks, "judge", judge_once)
    monkeypatch.setattr(actions, "footing_of", footing_once)
    monkeypatch.setattr(machines, "machine_json", text_once)
    monkeypatch.setattr(figures, "verdict_json", write_once)
    monkeypatch.setattr(stored, "verdict_json", write_once)


@pytest.fixture
def nobody_works(monkeypatch):
    """What is marked for the background waits there, for tests of what is answered alone."""
    monkeypatch.setattr(worker.Worker, "soon", lambda self: None)


@pytest.fixture
def actor(db):
    """The one person of a desk without login."""
    return local_actor()


@pytest.fixture
def bring(actor):
    """A factory of machines in the yard, from a dossier."""

    return lambda dossier, judged=True, who=None: brought_in(dossier, who or actor, judged)


def brought_in(dossier, who, judged=True):
    with transaction.atomic():
        machine = write_machine(who, text_once(dossier), dossier)
    if judged:
        judge_machine(who, machine.pk)
        machine.refresh_from_db()
    return machine


@pytest.fixture
def machine(actor, bring, dossier):
    """The invented excavator, in the yard and judged."""
    return brought_once(actor, dossier, lambda: bring(dossier))


@pytest.fixture(scope="session")
def planned_once(dossier, prices):
    """The invented excavator's plan over 6,000 hours and what its cost is reckoned from, worked out once for all tests."""
    with writing(PLAIN):  # whichever test asks for it first, in its own way of writing
        return plan_once(dossier, prices, PlanSettings(6000.0), TODAY)


@pytest.fixture
def priced_yard(actor, prices, tmp_path):
    """The invented price list in force."""
    write_prices(prices, tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())


@pytest.fixture
def with_login(settings):
    """A desk at which people sign in."""
    settings.LOGIN = True
    settings.MIDDLEWARE = settings.WITH_SIGN_IN


@pytest.fixture
def owner(db):
    """Somebody who signs in, with a yard of their own."""
    return an_owner()


def an_owner():
    business = Business.objects.create(name="Owner's yard")
    user = User.objects.create_user("owner", password="long enough 1")
    Member.objects.create(user=user, business=business)
    return Actor(business, "owner", is_person=True)


@pytest.fixture
def owner_client(with_login, owner):
    """The owner's browser."""
    return signed_in("owner")


@pytest.fixture
def stranger_client(with_login, db):
    """The browser of somebody from another business."""
    user = User.objects.create_user("stranger", password="long enough 1")
    Member.objects.create(user=user, business=Business.objects.create(name="Another yard"))
    return signed_in("stranger")


@pytest.fixture(scope="session")
def packed(planned_once):
    """A worked out plan, as its row holds it."""
    verdict, footing = planned_once
    return {"verdict_packed": packed_verdict(verdict), "footing_packed": packed_footing(footing)}


@pytest.fixture
def rows_of(dossier, packed, prices):
    """A maker of rows of every kind for somebody; an address of each name comes out."""
    return lambda whose: addresses_of(whose, dossier, packed, prices)


@pytest.fixture
def addresses(owner, rows_of):
    """An address of each name, leading to the owner's rows."""
    return rows_of(owner)


@pytest.fixture(scope="module")
def kept_rows(request, django_db_blocker, dossier, packed, prices):
    """An owner and an address of each name for all tests of a file: what one of them writes is undone, these rows stay."""
    request.getfixturevalue("django_db_setup")
    with django_db_blocker.unblock():
        around = transaction.atomic()
        around.__enter__()
        owner = an_owner()
        made = owner, addresses_of(owner, dossier, packed, prices)
    yield made
    with django_db_blocker.unblock():
        transaction.set_rollback(True)
        around.__exit__(None, None, None)


def addresses_of(owner, dossier, packed, prices):
    machine = brought_once(owner, dossier, lambda: brought_in(dossier, owner))
    sheet = Sheet.objects.create(business=owner.business, machine=machine, date_text="2026-11-25")
    aside = Aside.objects.create(sheet=sheet, key="head", fields={"by": "x"}, said="x", who="owner")
    key = "bush/left"
    done = remember(owner, way="archive", said="x", before={"machines": [], "archived": False})
    kept = Attachment.objects.create(
        business=owner.business, machine=machine, what="document", name="x.txt", kind="text/plain", size_bytes=1,
        file=store.put(owner.business, b"x"),
    )  # fmt: skip
    name = PartName.objects.create(photo=kept, part="bush", tip_x=1, tip_y=1, at_x=9, at_y=9, who="owner")
    listed = MachineList.objects.create(business=owner.business, name="list.csv", state="shown", who="owner")
    plan = Plan.objects.create(
        business=owner.business, machine=machine, judgement=machine.judgement, digest="x", asked={}, who="owner",
        state=Plan.DONE, **packed,
    )  # fmt: skip
    enter_prices(owner, name="prices.csv", content=content_of(prices))
    listed_prices = PriceFile.objects.get(business=owner.business)
    ground = ground_of(machine)
    quoted, _ = keep_quote(
        owner, machine=machine, quote_id=uuid.uuid4(), prices=listed_prices, asked={},
        quote=free_quote(ground.own, [Asked(JobKind.REPLACE, PartKind.BOTTOM_ROLLER)]),
        head=ground.head("", today(), ""),
    )  # fmt: skip
    parts_table, _ = bring_table(owner, Upload("", "Wide.csv", b"Wide;steel\n1;180\n2;x\n"), None)
    holds = (Column("Wide", "number"), Column("steel", "tread diameter"))
    set_columns(owner, table_id=parts_table.pk, columns=holds, every="bottom_roller")
    shelved = ShelfItem.objects.create(business=owner.business, number="R-1", what="bottom_roller", count=3)
    entry = take_from_machine(owner, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Wide steel")
    moment = timezone.now()
    asks = Asking.objects.create(
        business=owner.business, who="owner", code_mark="x", made_at=moment, ends_at=moment + dt.timedelta(minutes=10),
        state=Asking.ASKED, name="7", person="owner", mark="y", digits="42",
    )  # fmt: skip
    phone = Phone.objects.create(
        business=owner.business, name="7", person="owner", mark="z", let_in_by="owner", let_in_at=moment
    )
    brought = Brought.objects.create(
        business=owner.business, record_id=uuid.uuid4(), writer="x", nth=1, kind="line", recorded_by="owner", sent_by="owner",
        digest="x", state=Brought.LOOK, answer={"said": "x"}, sheet_id=sheet.pk, file=store.put(owner.business, b"x"),
        record={"id": str(uuid.uuid4()), "shape": 1, "nth": 1, "at": "", "writer": "x", "person": "", "kind": "line",
                "about": {"sheet": str(sheet.pk), "key": "bush/left:pitch", "fields": {"1": "58"}, "seen": 0}},
    )  # fmt: skip
    member = Member.objects.filter(business=owner.business).first()
    token = Token.objects.create(user=member.user, purpose="x", digest="x")
    invitation = Invitation.objects.create(
        business=owner.business, called="x", role="fitter", mark="x", made_by="owner",
        ends_at=moment + dt.timedelta(days=1),
    )  # fmt: skip
    feed = Feed.objects.create(business=owner.business, name="x", address="https://hours.example/", who="owner")
    hook = Hook.objects.create(
        business=owner.business, address="https://hears.example/", secret_sealed="", who="owner"
    )
    constants = Constants.objects.create(
        business=owner.business, text=learned_json(weak(("bush_od",), {}), "x"), digest="x", learned_on=today(),
        rests_on={"audit": asdict(Audit(None, (), 0, 0, 0, ()))},
    )  # fmt: skip
    special = {each: [entry.pk] for each in BOOK} | {
        **{each: [constants.pk] for each in ("constants-use", "constants-file")},
        "constants-audit": [constants.pk, 900],
        "fleet-tables": ["csv"],
        **{each: [hook.pk] for each in ("hook-off", "hook-try", "hook-secret", "hook-remove")},
        **{each: [feed.pk] for each in ("hours-feed", "hours-fetch", "hours-off")},
        "all-section": [machine.pk, "history"],
        **{each: [member.pk] for each in ("person", "person-out", "person-password")},
        "buyer-link-back": [
            BuyerLink.objects.create(
                business=owner.business, machine=machine, mark="x", made_by="owner", ends_at=moment
            ).pk
        ],
        "uninvite": [invitation.pk],
        "end-token": [token.pk],
        "remove-depot": [Depot.objects.create(business=owner.business, name="x").pk],
        **{each: [1] for each in ("mfa_remove_webauthn", "mfa_edit_webauthn")},
        "attachment": [kept.pk],
        "attachment-file": [kept.pk, "file"],
        "attachment-caption": [kept.pk],
        "attachment-remove": [kept.pk],
        "name-part": [kept.pk],
        "name-off": [name.pk],
        "machine-list": [listed.pk],
        "apply-list": [listed.pk],
        "undo": [done.pk],
        "export-list": ["csv"],
        "blank-list": ["csv"],
        "free-quote-paper": [machine.pk, quoted.pk],
        "free-quote-away": [machine.pk, quoted.pk],
        "phone-answer": [asks.pk],
        **{each: [shelved.pk] for each in ("shelf-item", "shelf-away")},
        "shelf-out": ["csv"],
        **{
            each: [parts_table.pk]
            for each in ("parts-table", "parts-columns", "parts-out", "parts-as-it-came", "parts-away")
        },
        "printed-sheet": [code_of(machine.pk, today())],
        "phone-out": [phone.pk],
        "pocket-decide": [brought.pk],
        "pocket-photo": [brought.pk],
        "blank-prices": ["csv"],
        "price-times": [],
        "prices-again": [listed_prices.pk],
        "prices-file": [listed_prices.pk, "csv"],
        "book-undo": [entry.fittings.get().batch],
        "limits-table": [machine.pk, "csv"],
        "table": ["parts", "csv"],
        "primer-part": ["bush"],
        "primer-seen": ["leak"],
        "primer-lesson": ["causes"],
        "primer-piece": [Piece(PieceKind.SCALE, "calliper").mark],
        "paper": [machine.pk, machine.judgement_id, "verdict.json"],
        "part": [machine.pk, key],
        "walk-round-at": [sheet.pk, key],
        "settle": [aside.pk],
        "plan-spots": [machine.pk, plan.pk],
        "keep-plan": [machine.pk, plan.pk],
        "plan-paper": [machine.pk, plan.pk, "jobs.ics"],
    }

    def make(name):
        if name in YARD:
            return reverse(name, args=special.get(name, []))
        return reverse(name, args=special.get(name, [machine.pk if name in MACHINE else sheet.pk]))

    return make


def signed_in(name):
    client = Client()
    client.force_login(User.objects.get(username=name))
    return client


@pytest.fixture
def begin(client):
    """A factory of walk-rounds begun in the browser."""

    def make(machine):
        sheet_id = uuid.uuid4()
        client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": str(sheet_id), "another": "1"})
        return sheet_id

    return make


@pytest.fixture
def save(client):
    """A factory of savings, as the page's script sends them."""

    def make(sheet_id, writer="me", **fields):
        post = {"writer": writer} | fields.pop("fields", {}) | fields
        return client.post(f"/walk-rounds/{sheet_id}/save/", post, headers={"Accept": "application/json"})

    return make


@pytest.fixture
def words():
    """The text of a page, without its tags and with single spaces."""

    def make(response):
        text = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
        return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text)).replace("\u00a0", " ")

    return make


PATIENCE_S = 60.0


class RunningDesk:
    """A desk on a data folder, as `pitchline desk` starts it."""

    def __init__(self, folder, port=0, before=None, env=None, crew_of=None):
        call = [sys.executable, "-m", "pitchline.cli", "desk", "--data", str(folder), "--port", str(port)]
        env = env or os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
        self.process = subprocess.Popen(call, stdout=subprocess.PIPE, text=True, env=env, preexec_fn=before)  # noqa: S603  ourselves
        said = self.process.stdout.readline()
        self.port = int(said.split("127.0.0.1:")[1].split("/")[0])
        wait_until(lambda: len(self.children()) == (crew_of or 2 * crew.processes() + 1))

    def ask(self, path="/alive"):
        """The answer's status; None where nobody answers."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        try:
            connection.request("GET", path)
            return connection.getresponse().status
        except (OSError, http.client.HTTPException):
            return None
        finally:
            connection.close()

    def children(self):
        """Process ids of the crew."""
        return [
            int(one)
            for one in Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        ]


def wait_until(wanted):
    """Wait for something, and fail where it does not come."""
    end = time.monotonic() + PATIENCE_S
    while not wanted():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.01)


@pytest.fixture
def until():
    """Waits for something, and fails where it does not come."""
    return wait_until


@pytest.fixture(scope="session")
def made_ready(tmp_path_factory):
    """A data folder as a desk's first start leaves it."""
    folder = tmp_path_factory.mktemp("ready")
    first = (
        "import sys, pathlib; from pitchline.desk.serve import *; prepare(Address(), pathlib.Path(sys.argv[1]))"
    )
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    subprocess.run([sys.executable, "-c", first, str(folder)], env=env, check=True)  # noqa: S603  ourselves
    return folder


@pytest.fixture
def start_desk(tmp_path, made_ready):
    """Starts the real desk on a data folder of this test's own, not for the first time; gone after the test."""
    shutil.copytree(made_ready, tmp_path, dirs_exist_ok=True)
    started = []

    def start(*args, **named):
        started.append(RunningDesk(tmp_path, *args, **named))
        return started[-1]

    yield start
    for one in started:
        one.process.kill()
        one.process.communicate()


@pytest.fixture
def desk(start_desk):
    """The real desk."""
    return start_desk()
