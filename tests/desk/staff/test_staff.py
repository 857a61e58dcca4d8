"""People of a yard: invited, signed in, changed, put out; their tokens and sessions."""

import datetime as dt
import re
import time

import pytest
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.test import Client
from django.utils import timezone

from pitchline.desk.api.models import Token
from pitchline.desk.api.tokens import make_token
from pitchline.desk.people.models import Business, Depot, Member
from pitchline.desk.people.rights import FITTER, OFFICE, OWNER
from pitchline.desk.staff import limits
from pitchline.desk.staff.models import Invitation, SignInEvent
from pitchline.desk.trail.models import Change

GOOD = "four steel idlers roll"


@pytest.fixture
def mate(owner):
    """Somebody of the office, with a password."""
    user = User.objects.create_user("mate", password=GOOD)
    return Member.objects.create(user=user, business=owner.business, role=OFFICE)


def sign_in(browser, name, password, **more):
    return browser.post("/sign-in/", {"login": name, "password": password}, **more)


def invited(owner_client, **typed):
    page = owner_client.post("/people/invite/", {"called": "Ann", "role": FITTER} | typed).content.decode()
    return re.search(r'value="http://testserver(/welcome/[^"]+)"', page)[1]


def test_invited_by_a_link_and_signed_in_as_what_was_said(owner_client, owner, with_login):
    link, ann = invited(owner_client), Client()
    assert "Fitter" in ann.get(link).content.decode()
    typed = {"name": "ann", "password": GOOD, "again": GOOD}
    assert ann.post(link, typed)["Location"] == "sign-in" or ann.post(link, typed).status_code in (302, 404)
    member = Member.objects.get(user__username="ann")
    assert (member.role, member.business) == (FITTER, owner.business)
    assert sign_in(ann, "ann", GOOD).status_code == 302
    assert ann.get("/").status_code == 200
    assert ann.get("/prices/").status_code == 403
    assert Client().get(link).status_code == 404  # good once
    assert Change.objects.filter(what="came in by a link", who="ann").exists()


def test_browser_may_send_what_the_link_shows(owner_client, with_login):
    """Fetch Standard, "append a request Origin header": under the policy no-referrer a form is sent with the origin null."""
    browser, link = Client(enforce_csrf_checks=True), invited(owner_client)
    page = browser.get(link)
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page.content.decode())[1]
    origin = "null" if page["Referrer-Policy"] == "no-referrer" else "http://testserver"
    typed = {"name": "ann", "password": GOOD, "again": GOOD, "csrfmiddlewaretoken": token}
    assert browser.post(link, typed, headers={"origin": origin}).status_code == 302


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"again": "another one here"}, "not the same"),
        ({"password": "short", "again": "short"}, "too short"),
        ({"password": "123456789012", "again": "123456789012"}, "first that are tried"),
        ({"name": "owner"}, "Choose another name"),
        ({"name": "OWNER"}, "Choose another name"),
    ],
)
def test_what_a_link_refuses_leaves_it_good(typed, said, owner_client, with_login):
    link = invited(owner_client)
    page = Client().post(link, {"name": "ann", "password": GOOD, "again": GOOD} | typed)
    assert page.status_code == 400
    assert said in page.content.decode()
    assert Client().get(link).status_code == 200


def test_link_ends_by_its_day_and_by_hand_and_is_kept_as_a_mark_alone(owner_client, with_login):
    link = invited(owner_client)
    row = Invitation.objects.get()
    assert link.split("/")[2] not in (row.mark, str(row.pk))
    owner_client.post(f"/people/invitations/{row.pk}/back/")
    assert Client().get(link).status_code == 404
    other = invited(owner_client)
    Invitation.objects.update(ends_at=timezone.now() - dt.timedelta(seconds=1))
    assert Client().get(other).status_code == 404


@pytest.mark.parametrize(
    "password", ["123456789012", "aaaaaaaaaaaa", "ownerownerowner", "abcdefghijklm", "short", "password1234"]
)
def test_password_that_is_tried_first_is_refused(password):
    with pytest.raises(ValidationError):
        validate_password(password, User(username="owner"))


@pytest.mark.parametrize("password", [GOOD, "long enough 1", "Kettenspanner 14 mm"])
def test_ordinary_password_is_taken(password):
    validate_password(password, User(username="owner"))


def test_new_password_by_the_owners_link_ends_sessions_and_tokens(owner_client, owner, mate, with_login):
    browser = Client()
    sign_in(browser, "mate", GOOD)
    assert browser.get("/").status_code == 200
    secret = make_token(mate.user, owner, "reports")
    page = owner_client.post(f"/people/{mate.pk}/password/").content.decode()
    link = re.search(r'value="http://testserver(/welcome/[^"]+)"', page)[1]
    new = "a dozen track pins"
    assert Client().post(link, {"password": new, "again": new}).status_code == 302
    assert browser.get("/").status_code == 302
    bearer = {"headers": {"Authorization": f"Bearer {secret}"}}
    assert Client().get("/api/v1/yard", **bearer).status_code == 401
    assert sign_in(Client(), "mate", GOOD).status_code == 200  # the form again: wrong
    assert sign_in(browser, "mate", new).status_code == 302
    assert SignInEvent.objects.filter(what="password", name="mate").exists()


def test_own_password_is_changed_by_oneself_and_this_session_stays(mate, owner, with_login):
    browser, other = Client(), Client()
    for one in (browser, other):
        sign_in(one, "mate", GOOD)
    secret = make_token(mate.user, owner, "reports")
    new = "a dozen track pins"
    typed = {"oldpassword": "wrong", "password1": new, "password2": new}
    assert browser.post("/own/password/", typed).status_code == 200
    assert browser.post("/own/password/", typed | {"oldpassword": GOOD}).status_code == 302
    assert browser.get("/").status_code == 200
    assert other.get("/").status_code == 302
    assert Token.objects.get(user=mate.user).ended_at is not None
    assert Client().get("/api/v1/yard", headers={"Authorization": f"Bearer {secret}"}).status_code == 401


def test_hash_made_anew_at_a_sign_in_is_no_new_password(mate, owner, settings, with_login):
    """Django writes a hash anew where its way of hashing changed; nobody chose a new password then."""
    make_token(mate.user, owner, "reports")
    settings.PASSWORD_HASHERS = [
        "django.contrib.auth.hashers.PBKDF2PasswordHasher",
        "django.contrib.auth.hashers.MD5PasswordHasher",
    ]
    before = mate.user.password
    sign_in(Client(), "mate", GOOD)
    mate.user.refresh_from_db()
    assert mate.user.password != before
    assert Token.objects.get().ended_at is None


def test_put_out_ends_everything_at_once_and_can_be_taken_back(owner_client, owner, mate, with_login):
    browser = Client()
    sign_in(browser, "mate", GOOD)
    secret = make_token(mate.user, owner, "reports")
    assert owner_client.post(f"/people/{mate.pk}/out/", {"out": "1"}).status_code == 302
    assert browser.get("/").status_code == 302
    assert Client().get("/api/v1/yard", headers={"Authorization": f"Bearer {secret}"}).status_code == 401
    out = Client()
    assert sign_in(out, "mate", GOOD)["Location"] == "/sign-in/put-out/"
    assert out.get("/").status_code == 302
    assert not any(one.get_decoded().get("_auth_user_id") == str(mate.user_id) for one in Session.objects.all())
    owner_client.post(f"/people/{mate.pk}/out/", {"out": "0"})
    assert sign_in(Client(), "mate", GOOD).status_code == 302


def test_last_owner_stays_one(owner_client, owner, mate):
    me = Member.objects.get(user__username="owner")
    assert owner_client.post(f"/people/{me.pk}/out/", {"out": "1"}).status_code == 409
    assert owner_client.post(f"/people/{me.pk}/", {f"p{me.pk}-role": FITTER}).status_code == 409
    owner_client.post(f"/people/{mate.pk}/", {f"p{mate.pk}-role": OWNER})
    assert owner_client.post(f"/people/{me.pk}/", {f"p{me.pk}-role": FITTER}).status_code == 302
    assert owner_client.get("/people/").status_code == 403
    assert Change.objects.filter(what="role of owner", before="Owner", after="Fitter").exists()


def test_token_that_reads_writes_nothing_and_ends_on_its_day(owner_client, machine_of_owner):
    page = owner_client.post(
        "/own/tokens/", {"purpose": "reports", "scope": "read", "lasts": "30"}
    ).content.decode()
    bearer = {"Authorization": "Bearer " + re.search(r'value="(pitchline-[^"]+)"', page)[1]}
    script = Client()
    assert script.get("/api/v1/yard", headers=bearer).status_code == 200
    told = script.post(
        f"/api/v1/machines/{machine_of_owner.pk}/archive",
        {"archived": True}, content_type="application/json",
        headers=bearer | {"Idempotency-Key": "6f0c8f0e-0000-4000-8000-000000000009"},
    )  # fmt: skip
    assert told.status_code == 403
    assert told.json()["problems"][0]["field"] == "Authorization"
    token = Token.objects.get()
    assert token.used_at is not None
    assert dt.timedelta(days=29) < token.ends_at - timezone.now() < dt.timedelta(days=30)
    Token.objects.update(ends_at=timezone.now())
    assert script.get("/api/v1/yard", headers=bearer).status_code == 401
    Token.objects.update(ends_at=None)
    assert owner_client.post(f"/own/tokens/{token.pk}/end/").status_code == 302
    assert script.get("/api/v1/yard", headers=bearer).status_code == 401


@pytest.fixture
def machine_of_owner(owner, bring, dossier):
    return bring(dossier, judged=False, who=owner)


def test_session_nobody_used_ends_and_an_old_one_too(mate, with_login, monkeypatch, settings):
    browser = Client()
    sign_in(browser, "mate", GOOD)
    assert browser.get("/").status_code == 200
    now = time.time()
    for later, ended in ((11.9 * 3600, False), (11.9 * 3600 + 11.9 * 3600, False), (48 * 3600, True)):
        monkeypatch.setattr(limits.time, "time", lambda later=later: now + later)
        assert (browser.get("/").status_code == 302) is ended
    monkeypatch.undo()


def test_sessions_are_seen_and_the_others_ended(mate, with_login):
    here, there = Client(), Client(headers={"User-Agent": "Another browser"})
    for one in (here, there):
        sign_in(one, "mate", GOOD)
    assert "Another browser" in here.get("/own/sessions/").content.decode()
    here.post("/own/sessions/")
    assert there.get("/").status_code == 302
    assert here.get("/").status_code == 200


def test_passkeys_form_sends_what_the_browser_made(mate, with_login, client):
    """Its field stood twice, so the empty one was sent; the whole of it in a browser: scripts/try_passkeys.py."""
    sign_in(client, "mate", GOOD)
    client.post("/own/once-more/", {"password": GOOD})
    page = client.get("/own/second/passkeys/add/").content.decode()
    assert page.count('name="credential"') == 1
    assert page.index('name="credential"') > page.index("<form")


def test_second_factor_is_asked_once_it_is_there(mate, with_login, client):
    """The code by RFC 6238 with its own reckoning here; the library checks it."""
    import base64
    import hashlib
    import hmac
    import struct

    def code(secret):
        digest = hmac.new(
            base64.b32decode(secret), struct.pack(">Q", int(time.time()) // 30), hashlib.sha1
        ).digest()
        at = digest[-1] & 15
        return f"{(struct.unpack('>I', digest[at : at + 4])[0] & 0x7FFFFFFF) % 10**6:06d}"

    sign_in(client, "mate", GOOD)
    assert client.get("/own/second/codes/")["Location"].startswith("/own/once-more/")
    client.post("/own/once-more/", {"password": GOOD})
    shown = client.get("/own/second/codes/")
    assert shown.status_code == 200, shown["Location"]
    page = shown.content.decode()
    secret = re.search(r'Key: <b class="address">([A-Z2-7]+)</b>', page)[1]
    assert client.post("/own/second/codes/", {"code": "000000"}).status_code == 200
    assert client.post("/own/second/codes/", {"code": code(secret)}).status_code == 302
    from allauth.mfa.models import Authenticator

    assert secret not in str(list(Authenticator.objects.values_list("data", flat=True)))
    assert len(re.findall(r'<b class="address">\w+</b>', client.get("/own/second/spare/").content.decode())) == 10
    other = Client()
    assert sign_in(other, "mate", GOOD)["Location"] == "/sign-in/second/"
    assert other.get("/").status_code == 302
    assert other.post("/sign-in/second/", {"code": "123"}).status_code == 200
    assert other.get("/").status_code == 302
    assert other.get("/sign-in/second/").status_code == 200


def test_own_pages_open(owner_client):
    for address in ("own/", "own/password/", "own/second/", "own/second/passkeys/", "own/sessions/", "people/"):
        assert owner_client.get(f"/{address}").status_code == 200, address


def test_depot_is_made_given_and_not_taken_from_under_a_machine(owner_client, owner, machine_of_owner):
    owner_client.post("/people/depots/", {"name": "North"})
    depot = Depot.objects.get(business=owner.business)
    owner_client.post(f"/machines/{machine_of_owner.pk}/depot/", {"depot": str(depot.pk)})
    assert "North" in owner_client.get(f"/machines/{machine_of_owner.pk}/").content.decode()
    assert owner_client.post(f"/people/depots/{depot.pk}/remove/").status_code == 409
    other = Depot.objects.create(business=Business.objects.create(name="b"), name="South")
    answer = owner_client.post(f"/machines/{machine_of_owner.pk}/depot/", {"depot": str(other.pk)})
    assert answer.status_code == 404
    from pitchline.desk.undo.models import Undoable

    owner_client.post(f"/undo/{Undoable.objects.get().pk}/")
    machine_of_owner.refresh_from_db()
    assert machine_of_owner.depot is None
    assert owner_client.post(f"/people/depots/{depot.pk}/remove/").status_code == 302
