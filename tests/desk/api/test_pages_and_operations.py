"""What a page does, an operation does too: the table of both, who may, and that it is the page's own doing."""

import re
import uuid

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client, RequestFactory
from django.urls import URLPattern, get_resolver, resolve

from pitchline.desk.api.document import document
from pitchline.desk.api.examples import EXAMPLES
from pitchline.desk.api.models import Answered
from pitchline.desk.api.page_actions import ACTIONS
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Depot, Member
from pitchline.desk.people.rights import ADDRESSES, FITTER, OFFICE, OPERATIONS, READER, ROLES, WHOLE
from pitchline.desk.photos.models import Attachment
from pitchline.desk.walkround.models import Sheet

PAGE_ACTIONS = {one.name: one for group in ACTIONS.values() for one in group}
DONE_BY = {
    "add": "add_a_machine", "about": "change_a_machine", "archive": "archive_a_machine", "looked-for": "looked_for",
    "machine-file": "change_the_file", "keep-asking-price": "change_a_machine", "limits": "bring_limits",
    "bring-limits": "bring_limits", "begin": "begin_a_walk_round", "save": "save_lines", "finish": "finish_a_walk_round",
    "put-away": "put_a_walk_round_away", "settle": "settle_an_entry", "name-part": "name_part_on_photo",
    "name-off": "take_name_off_photo", "work-done": "write_work_down", "take-work-out": "take_work_out",
    "free-quote": "quote_freely", "free-quote-away": "put_a_quote_away", "apply-list": "apply_machine_list",
    "prices": "enter_a_price_list", "hours": "send_hours", "machine-hours": "send_hours",
    "pocket-send": "save_lines", "pocket-file": "send_photo",
}  # fmt: skip
"""Pages whose doing has an operation with a body of its own."""
_PERSON = "a person signs in, or changes how they do, before a screen; a script has a token"
_PHONE = "a phone is let in by somebody who stands at the desk and compares two digits"
REASONS = {
    **dict.fromkeys(
        ("sign-in", "digest", "sign-out",
         "welcome", "own", "add-token", "end-token", "usersessions_list", "socialaccount_connections",
         "socialaccount_signup", "socialaccount_login_cancelled", "socialaccount_login_error", "openid_connect_login",
         "openid_connect_callback"), _PERSON),
    **dict.fromkeys(("phones", "phone-code", "phone-answer", "phones-wake", "ask-in", "phone-waiting"), _PHONE),

    "primer-practice": "what a person practised is theirs; a script learns nothing by it",
    "primer-piece": "what a person practised is theirs; a script learns nothing by it",
}  # fmt: skip
"""Why no operation does what these pages do. Those of allauth and mfa are of signing in, too."""


WRITE_NOTHING = {"primer-piece", "sheet-code", "mfa_index", "mfa_list_webauthn", "mfa_download_recovery_codes"}
"""What takes a POST and writes nothing of the yard: one's own practice, the way to a sheet, lists of one's own second factors."""


def names_of(patterns):
    for one in patterns:
        if isinstance(one, URLPattern):
            if one.name:
                yield one.name, one.callback
        else:
            yield from names_of(one.url_patterns)


def takes_something(view):
    try:
        return view(RequestFactory().post("/")).status_code != 405
    except Exception:  # whatever it lacks here, it was let in
        return True


def test_every_page_that_takes_something_has_an_operation_or_a_reason():
    views = {
        name: view for name, view in names_of(get_resolver().url_patterns) if name in ADDRESSES or name in REASONS
    }
    takes = {name for name, view in views.items() if ADDRESSES.get(name, ("", "x"))[1] and takes_something(view)}
    by_page = {one.page for one in PAGE_ACTIONS.values()}
    unasked = {
        name for name, view in views.items() if ADDRESSES.get(name, ("", "x"))[1] == "" and takes_something(view)
    }
    assert unasked <= WRITE_NOTHING  # whoever may look may send, where the table says that nothing can be sent
    theirs = {name for name in takes if name.startswith(("account_", "mfa_"))}
    assert takes - theirs - by_page - DONE_BY.keys() - REASONS.keys() == set()
    assert len(takes) > 80
    assert {*DONE_BY.values(), *PAGE_ACTIONS} <= {
        told["operationId"] for methods in document()["paths"].values() for told in methods.values()
    }
    assert not by_page & (DONE_BY.keys() | REASONS.keys())


def asked_as(client, addresses, one, send):
    """An operation, asked for the rows its page leads to."""
    at = resolve(addresses(one.page)).kwargs
    own = {theirs: ours for ours, theirs in one.renamed.items()} | {"sheet_id": "walk_round_id"}
    ids = {own.get(name, name): value for name, value in at.items()}
    path = re.sub(r"{(\w+)}", lambda found: str(ids.get(found[1], EXAMPLES.get(found[1], uuid.uuid4()))), one.path)
    title = "".join(word.capitalize() for word in one.name.split("_"))
    if one.file:
        return send(client, "post", f"/{path}?filename=x.csv", b"x", content_type="application/octet-stream")
    return send(client, "post", f"/{path}", EXAMPLES[title])


@pytest.fixture
def person(owner):
    """A factory of browsers of people of the owner's yard, in a role, held to a depot or to none."""

    def make(role, depot=None):
        user = User.objects.create_user(f"{role}-{depot}", password="long enough 1")
        member = Member.objects.create(user=user, business=owner.business, role=role)
        if depot is not None:
            member.depots.add(depot)
        browser = Client()
        browser.force_login(user)
        return browser

    return make


def all_asked(client, addresses, send, which):
    """The status of each, each undone again."""
    found = {}
    for name in which:
        with transaction.atomic():
            found[name] = asked_as(client, addresses, PAGE_ACTIONS[name], send).status_code
            transaction.set_rollback(True)
    return found


def test_who_may_is_who_may_on_the_page(with_login, addresses, person, send, stranger_client, owner):
    """By role, by depot, by business: 403 without the right; nothing found of another depot's machine, or of another business."""
    for role in (FITTER, READER):
        lacking = [name for name in PAGE_ACTIONS if OPERATIONS[name] not in ROLES[role]]
        found = all_asked(person(role), addresses, send, lacking)
        assert {name: status for name, status in found.items() if status != 403} == {}
    nothing = {name for name, one in PAGE_ACTIONS.items() if "{" in one.path and name != "set_up_hours_feed"}
    of_strangers = all_asked(stranger_client, addresses, send, nothing)
    assert {name: status for name, status in of_strangers.items() if status != 404} == {}
    there, here = (Depot.objects.create(business=owner.business, name=name) for name in ("South", "North"))
    Machine.objects.update(depot=there)
    held = ROLES[OFFICE] - {WHOLE}
    of_machines = [
        name for name, one in PAGE_ACTIONS.items()
        if re.search("machine_id|walk_round_id|attachment_id|link_id", one.path) and OPERATIONS[name] in held
    ]  # fmt: skip
    assert len(of_machines) > 14
    assert set(all_asked(person(OFFICE, here), addresses, send, of_machines).values()) == {404}


def test_no_operation_of_a_page_breaks_the_desk(with_login, addresses, owner_client, send, nobody_works):
    found = all_asked(owner_client, addresses, send, PAGE_ACTIONS)
    assert set(found.values()) <= {200, 404, 409, 422}, found
    done = {name for name, status in found.items() if status == 200}
    assert {  # what needs no more than its row
        "archive_machines", "make_buyer_link", "remove_attachment", "put_gear_away",
        "take_gear_from_machine", "put_in_force_again", "work_out_plan", "put_parts_table_away", "fetch_hours",
        "switch_hours_feed",
        "renew_calendar_feed", "put_phone_out", "invite_person", "take_invitation_back", "new_password_link", "add_depot",
        "remove_depot", "stand_at_depot",
    } <= done  # fmt: skip


def test_refused_field_by_field_and_nothing_is_drawn(post, machine, monkeypatch):
    monkeypatch.setattr("django.template.base.Template.render", None)
    sent = EXAMPLES["AddToGearList"] | {"sprocket_teeth": 23, "pitch": "3 m"}
    problems = post("/gear-list", sent).json()["problems"]
    assert ("pitch", "3 m") in [(one["field"], one["value"]) for one in problems]
    assert not BookEntry.objects.exists()
    answer = post("/gear-list", sent | {"pitch": "187 mm"}, key=(key := uuid.uuid4()))
    assert answer.json()["id"] == str(key) == str(BookEntry.objects.get().pk)
    given = {"seen_version": 1, "machine": [str(machine.pk)], "seen": {str(machine.pk): machine.version}}
    batch = uuid.uuid4()
    told = post(f"/gear-list/{key}/give", given, key=batch).json()
    assert told["said"] == ["Given to 1 machine."]
    assert post(f"/gear-given/{batch}/take-back").json()["said"] == ["1 machine as before."]


def test_photo_and_sheet_go_up_and_a_caption_is_undone_never_twice(client, send, machine, walk_round, tmp_path):
    octets = "application/octet-stream"
    key = uuid.uuid4()
    answer = send(
        client, "post", f"/machines/{machine.pk}/attachments?filename=a.txt&caption=Papers", b"words", key, octets
    )
    assert answer.status_code == 200, answer.content
    assert Attachment.objects.get().pk == key
    gone = send(client, "post", f"/attachments/{key}/remove").json()
    assert send(client, "post", f"/undo/{gone['undo_id']}").status_code == 200
    assert Attachment.objects.get().removed_at is None
    send(client, "post", f"/undo/{gone['undo_id']}")
    assert Attachment.objects.get().removed_at is None
    refused = send(client, "post", f"/machines/{machine.pk}/sheets?filename=a.csv", b"no sheet", None, octets)
    assert refused.status_code == 422
    assert "a.csv" in refused.json()["problems"][0]["field"]


def test_taken_up_again_with_a_reason_alone(post, machine):
    sheet = Sheet.objects.filter(machine=machine, state=Sheet.FINISHED).first()
    assert post(f"/walk-rounds/{sheet.pk}/reopen", {"why": ""}).json()["problems"][0]["field"] == "why"
    assert post(f"/walk-rounds/{sheet.pk}/reopen", {"why": "read again"}).json()["id"] == str(sheet.pk)
    sheet.refresh_from_db()
    assert sheet.state == Sheet.DRAFT


def test_a_link_shown_once_is_kept_nowhere(post, machine):
    key = uuid.uuid4()
    first = post(f"/machines/{machine.pk}/buyer-links", {"lasts": "7"}, key=key).json()
    assert "/for-a-buyer/" in first["link"]
    again = post(f"/machines/{machine.pk}/buyer-links", {"lasts": "7"}, key=key)
    assert (again["Idempotent-Replay"], again.json()["link"]) == ("true", "")
    secret = first["link"].rstrip("/").rpartition("/")[2].encode()
    assert secret not in bytes(Answered.objects.get(key=key).content)
