"""Sign-in by a company's own, at a made-up provider: OpenID Connect Core 1.0, the code flow, with PKCE (RFC 7636)."""

import base64
import hashlib
import time
from urllib.parse import parse_qs, urlsplit

import jwt
import pytest
from cryptography.hazmat.primitives.asymmetric import rsa
from django.contrib.auth.models import User
from django.test import Client

from pitchline.desk.people.models import LOCAL, Member

KEY = rsa.generate_private_key(public_exponent=65537, key_size=2048)
AT = "https://company.example"
DISCOVERY = {
    "issuer": AT,
    "authorization_endpoint": f"{AT}/authorise",
    "token_endpoint": f"{AT}/token",
    "userinfo_endpoint": f"{AT}/userinfo",
    "jwks_uri": f"{AT}/keys",
    "token_endpoint_auth_methods_supported": ["client_secret_post"],
}


class Told:
    """An answer, as the library reads it."""

    def __init__(self, content):
        self.content, self.status_code, self.headers = content, 200, {"content-type": "application/json"}

    def json(self):
        return self.content

    def raise_for_status(self):
        """Nothing is wrong."""


class Company:
    """The provider: who is signed in there, and what it was asked."""

    def __init__(self):
        self.asked, self.nonce, self.who, self.challenge = [], None, {"sub": "42", "preferred_username": "kim"}, ""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        """No connection is held."""

    def get(self, url, **_):
        return Told(DISCOVERY if "well-known" in url else self.who)

    def request(self, method, url, data=None, **more):
        return self.post(url, data=data, **more) if method.upper() == "POST" else self.get(url)

    def post(self, url, data=None, **_):
        self.asked.append((url, data))
        digest = hashlib.sha256(data["code_verifier"].encode()).digest()
        assert base64.urlsafe_b64encode(digest).rstrip(b"=").decode() == self.challenge
        now = int(time.time())
        claims = self.who | {"iss": AT, "aud": "desk", "iat": now, "exp": now + 60}
        return Told({"access_token": "x", "token_type": "Bearer", "id_token": jwt.encode(claims, KEY, "RS256")})


@pytest.fixture
def company(monkeypatch, with_login, db):
    from allauth.socialaccount.adapter import DefaultSocialAccountAdapter

    made = Company()
    monkeypatch.setattr(DefaultSocialAccountAdapter, "get_requests_session", lambda self: made)
    return made


def comes(company, browser, **answer):
    sent = browser.post("/sign-in/by/company/")
    asked = parse_qs(urlsplit(sent["Location"]).query)
    assert sent["Location"].startswith(f"{AT}/authorise?")
    assert (asked["client_id"], asked["response_type"]) == (["desk"], ["code"])
    company.challenge = asked["code_challenge"][0]
    assert asked["code_challenge_method"] == ["S256"]
    return browser.get("/sign-in/by/company/back/", {"code": "c", "state": asked["state"][0]} | answer)


def test_whoever_the_company_lets_in_reads_and_no_more(company):
    assert "Sign in with Example Hire" in Client().get("/sign-in/").content.decode()
    kim = Client()
    assert comes(company, kim).status_code == 302
    member = Member.objects.get()
    assert (member.role, member.business_id, member.user.username) == ("reader", LOCAL, "kim")
    assert not member.user.has_usable_password()
    assert kim.get("/").status_code == 200
    assert kim.get("/people/").status_code == 403
    again = Client()
    comes(company, again)
    assert again.get("/").status_code == 200
    assert Member.objects.count() == 1


def test_name_somebody_has_already_gives_nobody_their_place(company, owner):
    company.who = {"sub": "43", "preferred_username": "owner", "email": "owner@company.example"}
    User.objects.filter(username="owner").update(email="owner@company.example")
    other = Client()
    comes(company, other)
    assert User.objects.count() == 2
    assert other.get("/people/").status_code == 403


@pytest.mark.parametrize("answer", [{"state": "forged"}, {"error": "access_denied"}])
def test_forged_or_refused_way_back_lets_nobody_in(company, answer):
    browser = Client()
    assert comes(company, browser, **answer).status_code in (200, 302, 403)
    assert browser.get("/").status_code == 302
    assert not Member.objects.exists()


def test_role_owner_is_never_given(company, settings):
    settings.COMPANY = settings.COMPANY | {"role": "owner"}
    comes(company, Client())
    assert Member.objects.get().role == "reader"


def test_who_was_put_out_stays_out(company):
    comes(company, Client())
    User.objects.update(is_active=False)
    browser = Client()
    comes(company, browser)
    assert browser.get("/").status_code == 302
