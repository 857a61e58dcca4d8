"""Who may ask: the owner, a stranger, nobody, other websites; by session and by token."""

import datetime as dt
import io
import json
import re
import uuid
from dataclasses import replace

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from pitchline.desk.api.document import document
from pitchline.desk.api.examples import EXAMPLES
from pitchline.desk.api.models import Job, Token
from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.clock import today
from pitchline.desk.freequote.actions import keep_quote
from pitchline.desk.freequote.making import ground_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.learned_file import learned_json
from pitchline.money.free_quote import Asked, free_quote
from pitchline.outlook.learned import weak
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.work_done import Did, WorkDone

OPERATIONS = [(method, path) for path, methods in document()["paths"].items() for method in methods]
ABOUT_ROWS = [
    (method, path)
    for method, path in OPERATIONS
    if "{" in path
    and "{table}" not in path
    and "{ending}" not in path
    and "x-page" not in document()["paths"][path][method]
]  # a list, by its name; what pages do is asked in test_pages_and_operations


@pytest.fixture
def asked(owner, bring, dossier, send):
    """A factory of requests at the owner's rows: an operation of the description, as somebody sends it."""
    from pitchline.desk.walkround.models import Aside
    from pitchline.desk.yard.models import MachineList, PriceFile

    idler = Place(PartKind.IDLER, Side.LEFT, 1)
    work = WorkDone("w1", Did.CLEANED, (idler,), dt.date(2026, 9, 9), 3010.0)
    machine = bring(replace(dossier, work=(work,)), who=owner)
    sheet = Sheet.objects.create(business=owner.business, machine=machine, date_text="2026-11-25")
    aside = Aside.objects.create(sheet=sheet, key="head", fields={"by": "x"}, said="x", who="owner")
    content = b"currency,EUR\nlabour per hour,60\nsource,x\n\njob,part,per,price low,price usual,price high,labour hours\n"
    content += b"turn,bush,each,800,900,1000,8\n"
    shelved = ShelfItem.objects.create(business=owner.business, number="R-1", what="bottom_roller", count=3)
    prices = PriceFile.objects.create(business=owner.business, name="prices.csv", content=content, who="owner")
    ground = ground_of(machine)
    quoted, _ = keep_quote(
        owner, machine=machine, quote_id=uuid.uuid4(), prices=prices, asked={},
        quote=free_quote(ground.own, [Asked(JobKind.TURN, PartKind.BUSH)]), head=ground.head("", today(), ""),
    )  # fmt: skip
    photo = Attachment.objects.create(
        business=owner.business,
        machine=machine,
        what="photo",
        name="x.jpg",
        kind="image/jpeg",
        size_bytes=1,
        file="x",
    )
    name = PartName.objects.create(photo=photo, part="bush", tip_x=1, tip_y=1, at_x=9, at_y=9, who="owner")
    job = Job.objects.create(pk=uuid.uuid4(), business=owner.business, who="owner", of=0)
    rows = MachineList.objects.create(business=owner.business, name="x.csv", who="owner", state=MachineList.SHOWN)
    constants = Constants.objects.create(
        business=owner.business, text=learned_json(weak(("bush_od",), {}), "x"), digest="x", learned_on=today()
    )
    names = {
        "machine_id": machine.pk, "walk_round_id": sheet.pk, "verdict_id": machine.judgement_id,
        "aside_id": aside.pk, "price_list_id": prices.pk, "quote_id": quoted.pk, "job_id": job.pk, "list_id": rows.pk,
        "work_id": work.key, "constants_id": constants.pk,
        "table": "parts", "photo_id": photo.pk, "photo_name_id": name.pk, "item_id": shelved.pk,
    }  # fmt: skip

    def make(client, method, path, **headers):
        address = re.sub(
            r"{(\w+)}", lambda found: str(names.get(found[1], EXAMPLES.get(found[1], uuid.uuid4()))), path
        )
        told = document()["paths"][path][method]
        needed = "&".join(
            f"{p['name']}={p['example']}" for p in told["parameters"] if p["in"] == "query" and p["required"]
        )
        if method == "get":
            return client.get(f"{address}?{needed}", headers=headers)
        kind, body = next(iter(told["requestBody"]["content"].items()))
        short = address.removeprefix("/api/v1")
        sent = body.get("example", "x")
        return send(client, method, f"{short}?{needed}" if needed else short, sent, content_type=kind, **headers)

    return make


def test_openapi_and_nothing_else_is_open(asked, with_login, client):
    assert client.get("/api/v1/openapi.json").status_code == 200
    assert client.get("/api/v1/docs")["Location"].startswith("/sign-in/")
    for method, path in OPERATIONS:
        answer = asked(client, method, path)
        assert answer.status_code == 401, (method, path)
        assert answer["WWW-Authenticate"].startswith("Bearer")
        assert answer.json()["problems"][0]["field"] == "Authorization"


@pytest.mark.parametrize(("method", "path"), ABOUT_ROWS)
def test_stranger_finds_nothing_where_the_owner_does(method, path, asked, owner_client, stranger_client):
    answer = asked(stranger_client, method, path)
    assert answer.status_code == 404
    assert asked(owner_client, method, path).status_code in (200, 201, 409, 422)


def test_strangers_lists_show_nothing_of_the_owners(asked, stranger_client):
    assert stranger_client.get("/api/v1/machines").json()["count"] == 0
    assert stranger_client.get("/api/v1/price-lists").json()["count"] == 0
    assert stranger_client.get("/api/v1/yard").json()["machines"] == 0
    assert stranger_client.get("/api/v1/tables/parts").json()["count"] == 0


def test_session_needs_the_csrf_token_for_every_write(asked, owner_client):
    browser = Client(enforce_csrf_checks=True)
    browser.cookies = owner_client.cookies
    writes = [(method, path) for method, path in OPERATIONS if method != "get"]
    for method, path in writes:
        answer = asked(browser, method, path)
        assert answer.status_code == 403, (method, path)
        assert answer.json()["problems"][0]["field"] == "X-CSRFToken"
    assert not Change.objects.filter(what="archived").exists()
    browser.get("/machines/new/")
    csrf = browser.cookies["csrftoken"].value
    answer = asked(browser, "post", "/api/v1/machines/{machine_id}/archive", **{"X-CSRFToken": csrf})
    assert answer.status_code == 200
    assert Machine.objects.get().archived_at is not None


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://elsewhere.example"},
        {"Origin": "null"},
        {"Origin": "http://testserver:8000"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_what_another_website_made_a_browser_send_is_refused_without_login_too(client, post, machine, headers):
    answer = post(f"/machines/{machine.pk}/archive", {"archived": True}, **headers)
    assert answer.status_code == 403
    assert client.get("/api/v1/machines", headers=headers).status_code == 403
    assert Machine.objects.get().archived_at is None


@pytest.mark.parametrize("headers", [{"Origin": "http://testserver"}, {"Sec-Fetch-Site": "same-origin"}, {}])
def test_the_desks_own_pages_and_scripts_are_let_in(post, machine, headers):
    assert post(f"/machines/{machine.pk}/archive", {"archived": True}, **headers).status_code == 200


@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain"]
)
def test_what_a_plain_form_can_send_is_no_write(post, machine, kind):
    """Any website can make a browser send these three kinds without asking; none is taken."""
    answer = post(f"/machines/{machine.pk}/archive", '{"archived": true}', content_type=kind)
    assert answer.status_code == 415
    assert Machine.objects.get().archived_at is None


def test_foreign_host_name_is_refused(client, db, settings):
    """A name that somebody else's name server leads here, as in DNS rebinding."""
    settings.ALLOWED_HOSTS = ["localhost"]
    assert client.get("/api/v1/machines", headers={"Host": "elsewhere.example"}).status_code == 400


def made(name, purpose="test"):
    out = io.StringIO()
    call_command("add_token", name, purpose=purpose, stdout=out, stderr=io.StringIO())
    return out.getvalue().strip()


def test_token_opens_its_persons_business_without_csrf(asked, owner):
    secret = made("owner")
    script = Client(enforce_csrf_checks=True)
    bearer = {"Authorization": f"Bearer {secret}"}
    answer = asked(script, "post", "/api/v1/machines/{machine_id}/archive", **bearer)
    assert answer.status_code == 200
    assert Change.objects.get(what="archived").who == "owner"
    row = Token.objects.get()
    assert secret not in json.dumps([row.digest, row.purpose])
    assert Change.objects.filter(what="token made", after="owner: test").exists()


@pytest.mark.parametrize("named", ["Bearer x", "Bearer", "", "Basic b3duZXI6eA==", "Bearer \u00e9"])
def test_wrong_token_opens_nothing_even_where_nobody_signs_in(client, db, named):
    answer = client.get("/api/v1/machines", headers={"Authorization": named})
    assert answer.status_code == 401


def test_purpose_of_a_token_is_kept_whole_or_refused(owner):
    made("owner", "p" * 200)
    assert Token.objects.get().purpose == "p" * 200
    with pytest.raises(CommandError, match="201 letters"):
        made("owner", "p" * 201)
    assert Token.objects.count() == 1


def test_ended_token_and_token_of_somebody_who_left_open_nothing(client, with_login, owner):
    first, second = made("owner", "one"), made("owner", "two")

    def status(secret):
        return client.get("/api/v1/machines", headers={"Authorization": f"Bearer {secret}"}).status_code

    assert (status(first), status(second)) == (200, 200)
    call_command("end_token", "owner", purpose="one", stdout=io.StringIO())
    assert (status(first), status(second)) == (401, 200)
    from django.contrib.auth.models import User

    User.objects.filter(username="owner").update(is_active=False)
    assert status(second) == 401


def test_token_for_nobody_is_refused(db):
    for command in ("add_token", "end_token"):
        with pytest.raises(CommandError):
            call_command(command, "nobody")


def test_person_without_a_business_is_refused(with_login, db, client):
    from django.contrib.auth.models import User

    client.force_login(User.objects.create_user("lost", password="long enough 1"))
    assert client.get("/api/v1/machines").status_code == 403


def test_unknown_address_method_and_id_are_told_in_the_one_shape(client, get, db):
    assert get("/nowhere").json()["problems"][0]["field"] == "address"
    answer = client.delete("/api/v1/machines")
    assert (answer.status_code, answer["Allow"]) == (405, "GET, POST")
    assert answer.json()["problems"]
    assert get(f"/machines/{uuid.uuid4()}").status_code == 404
    assert get("/machines/T1").status_code == 422
