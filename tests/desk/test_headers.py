"""The content policy is on every answer, and no page needs what it forbids."""

import errno
import os
import re
import sqlite3
import subprocess
import sys
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError
from django.test import Client

from pitchline.desk.photos.models import Attachment
from pitchline.desk.yard import views


@pytest.fixture
def pages(client, machine, begin):
    """Every kind of page, as (address, text)."""
    sheet = begin(machine)
    sent = {"files": SimpleUploadedFile("list.csv", b"name,kind,hours\nA,dozer,1\n,,\nB,cart,2\n")}
    listed = client.post("/bring/", sent)["Location"]
    sent = {"files": SimpleUploadedFile("notes.txt", b"x"), "caption": "A note"}
    client.post(f"/machines/{machine.pk}/photos/send/", sent)
    kept = Attachment.objects.get().pk
    base = f"/machines/{machine.pk}/"
    addresses = [
        "/", "/machines/new/", "/bring/", "/prices/", base, f"{base}?side=right", f"{base}about/", f"{base}limits/",
        f"{base}ground/", f"{base}ground/?soil=mud",
        f"{base}file/", f"{base}changes/", f"{base}parts/bush/left/", f"/walk-rounds/{sheet}/",
        f"/walk-rounds/{sheet}/at/bottom_roller/left/1/", "/nowhere/", listed, f"{listed}?what=refused", "/undo/",
        "/?as=chart", "/?choose=all", f"{base}photos/", f"{base}photos/?part=bush/left#add", f"/photos/{kept}/",
    ]  # fmt: skip
    return [(address, client.get(address)) for address in addresses]


def test_policy_forbids_everything_inline_and_from_elsewhere(pages):
    for address, response in pages:
        policy = response["Content-Security-Policy"]
        assert "default-src 'none'" in policy, address
        assert "unsafe" not in policy
        assert "http" not in policy


def test_no_page_has_inline_script_style_or_handler(pages):
    for address, response in pages:
        text = response.content.decode()
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", text), address
        loaded = [
            tag for tag in re.findall(r"<script[^>]*>", text) if "application/json" not in tag
        ]  # data, never run
        assert not [tag for tag in loaded if "src=" not in tag], address


def test_every_page_has_a_title_a_language_and_one_first_heading(pages):
    for address, response in pages:
        text = response.content.decode()
        assert '<html lang="en">' in text, address
        assert re.search(r"<title>\s*\S", text), address
        assert len(re.findall(r"<h1[ >]", text)) == 1, address


def test_every_input_has_a_label(pages):
    for address, response in pages:
        text = response.content.decode()
        labelled = set(re.findall(r'<label for="([^"]+)"', text))
        inside = re.sub(r"<label.*?</label>", "", text, flags=re.DOTALL)
        for tag in re.findall(r"<(?:input|select|textarea)\b[^>]*>", inside):
            if 'type="hidden"' in tag or "aria-label=" in tag:
                continue
            found = re.search(r'\bid="([^"]+)"', tag)
            assert found is not None, (address, tag)
            assert found[1] in labelled, (address, tag)


def test_ids_are_not_used_twice(pages):
    for address, response in pages:
        ids = re.findall(r'\sid="([^"]+)"', response.content.decode())
        assert sorted(ids) == sorted(set(ids)), address


def test_no_page_is_kept_on_the_way(pages, owner_client):
    """ASVS 4.0.3, 8.2.1: nobody keeps what only one person may see; without sign-in the browser asks again."""
    assert {response["Cache-Control"] for _, response in pages} == {"private, no-cache"}
    assert owner_client.get("/")["Cache-Control"] == "private, no-store"
    assert {response["Cross-Origin-Resource-Policy"] for _, response in pages} == {"same-origin"}


HTTPS = """
import sys
from django.conf import settings
from pitchline.desk import page_server
made = []
page_server.PageServer = lambda *told, **named: made.append(named)
from pitchline.desk.crew import _page_server
_page_server(None)
print(made, settings.SECURE_HSTS_SECONDS, settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME)
"""


def test_behind_https_addresses_cookies_and_browsers_know_it(tmp_path):
    """RFC 6797; __Host- after RFC 6265bis, section 4.1.3.2 (ASVS 3.4.4, 14.4.5)."""
    told = {
        "PITCHLINE_DESK_HTTPS": "1",
        "PITCHLINE_DESK_DATA": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "pitchline.desk.settings",
    }
    done = subprocess.run(  # noqa: S603  ourselves
        [sys.executable, "-W", "ignore", "-c", HTTPS],
        env=os.environ | told,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == [
        "[{'is_behind_https':",
        "True,",
        "'proxy':",
        "''}]",
        "31536000",
        "__Host-sessionid",
        "__Host-csrftoken",
    ]


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (sqlite3.OperationalError("database or disk is full"), "The disk is full"),
        (OSError(errno.ENOSPC, "No space left on device"), "The disk is full"),
        (sqlite3.OperationalError("database is locked"), "Somebody else writes for longer"),
        (sqlite3.OperationalError("attempt to write a readonly database"), "may not write"),
        (sqlite3.DatabaseError("database disk image is malformed"), "pitchline restore"),
        (ValueError("x"), "Something failed on our side"),
    ],
)
def test_what_a_disk_or_a_database_does_is_told_in_words(client, db, monkeypatch, error, said):
    def fails(*told, **named):
        try:
            raise error
        except sqlite3.Error as below:
            raise DatabaseError(str(below)) from below

    monkeypatch.setattr(views, "add_machine", fails)
    client.raise_request_exception = False
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "X", "hours": "1"}
    answer = client.post("/machines/new/", form)
    assert answer.status_code == (500 if isinstance(error, ValueError) else 503)
    assert said in answer.content.decode()


def test_a_form_from_before_is_told_what_to_do(db):
    answer = Client(enforce_csrf_checks=True).post("/machines/new/", {"name": "X"})
    assert answer.status_code == 403
    assert "Load the page again and send it from there" in answer.content.decode()
    fields = {f"a{number}": "1" for number in range(20_001)}
    answer = Client().post("/machines/new/", fields)
    assert answer.status_code == 400
    assert "more fields than a form has" in answer.content.decode()
