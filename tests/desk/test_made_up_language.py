"""In a made-up language no word of the desk stays English: what is in plain letters was typed by somebody, or is a code."""

import html
import json
import re

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

import made_up
from desk_addresses import BOOK, MACHINE, SHEET, YARD
from desk_forms import FORMS, made
from judged_once import plan_once
from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.people.who import Actor
from pitchline.desk.primer.lessons import LESSONS
from pitchline.desk.problems import in_language
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.trail.models import Change
from pitchline.desk.trail.pages import told_changes
from pitchline.desk.workplan.stored import packed_footing, packed_verdict
from pitchline.stops.settings import PlanSettings
from pitchline.trade.consequences import FindingKind
from pitchline.trade.errors import phrase
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import Writing, writing
from pitchline.words import catalogue

TODAY = settings.TODAY
KINDS_OF_DATA = {
    "a unit": "mm in kg h kW kPa MPa kN t m cm EUR MB kB years km km/h N psi lb lbf ft",
    "a code or a name of a field that a program reads": (
        "Idempotency-Key Authorization Bearer X-CSRFToken Origin Content-Type Retry-After UUID JSON UTF-8 CSV XLSX PDF JPEG "
        "PNG WebP Parquet "
        "API "
        "USCS ISO ASTM WES GET HEAD POST OPTIONS body path query seen_version short_name running_gear "
        "walk_rounds application json "
        "python -m pitchline.desk add_token NAME YYYY MM DD csrftoken"
    ),
    "the name of this tool": "pitchline",
    "how days are written": "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec early mid late",
    "the language itself": f"English {made_up.CODE}",
    "a key of the keyboard": "Ctrl Enter",
    "what a pattern's place is called, to be put in by a script": "label place",
    "what tests type": "wrong owner Owner's yard Another Wide steel list x Wide invented centre guard",
}
"""What may stand in plain letters, by kind."""
READ_OUT = re.compile(r'\s(?:title|aria-label|aria-description|placeholder|alt|aria-valuetext)="([^"]*)"')
UNREAD = re.compile(r"<(script|style|code|kbd|pre|textarea)\b.*?</\1>|<!--.*?-->", re.DOTALL)
FILE_NAME = re.compile(r"[\w.\-]+\.(?:csv|xlsx|json|pdf|ics|txt|zip|jpg)\b|/[\w/.]+|https?:\S+|\.\w{3,4}\b")
CHUNK = re.compile(r"[A-Za-z][A-Za-z’' -]*[A-Za-z]")
AMOUNT = re.compile(r"\b[A-Z]{3}\b")
SHEET_CODE = re.compile(r"\b[A-Z]{4}-[A-Z]{4}-[A-Z]{4}\b")


def texts_shown(page):
    """Each text of a page by itself, and each attribute that is read out."""
    page = UNREAD.sub(" ", page)
    yield from (html.unescape(one) for one in READ_OUT.findall(page))
    yield from (html.unescape(one) for one in re.split(r"<[^>]*>", page))


def strings_in(value):
    """Every text inside values read from JSON."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from strings_in(one)


@pytest.fixture(scope="module")
def language_file(tmp_path_factory):
    """The made-up language, written once; known to nobody yet."""
    folder = tmp_path_factory.mktemp("languages")
    made_up.write(folder)
    return folder


@pytest.fixture
def spoken(language_file, monkeypatch):
    """The made-up language among the languages there are."""
    monkeypatch.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, language_file])
    made_up.read_once()


@pytest.fixture
def plain():
    """What of a page is in plain letters and no data."""
    data = {word for words in KINDS_OF_DATA.values() for word in words.split()}

    def find(texts, typed):
        found = []
        for text in texts:
            for known in typed:
                text = text.replace(known, " ")
            text = AMOUNT.sub(" ", FILE_NAME.sub(" ", SHEET_CODE.sub(" ", text)))
            for chunk in CHUNK.findall(text):
                words = [word for word in chunk.split() if word.strip("-’'") not in data and len(word) > 1]
                said = " ".join(words)
                if made_up.PLAIN.search(said):
                    found.append(said)
        return found

    return find


@pytest.fixture(scope="module")
def packed(language_file, dossier, prices):
    """A plan worked out in the made-up language; that of all other tests is written the plain way."""
    with pytest.MonkeyPatch.context() as patched, writing(Writing(language=made_up.CODE)):
        patched.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, language_file])
        verdict, footing = plan_once(dossier, prices, PlanSettings(6000.0), TODAY)
    return {"verdict_packed": packed_verdict(verdict), "footing_packed": packed_footing(footing)}


@pytest.fixture
def speaking(spoken, owner, request):
    """Addresses of an owner's rows, everything said in the made-up language, and what was typed on them, the longest first."""
    owner.business.language = made_up.CODE
    owner.business.save()
    with writing(owner.business.writing):  # rows of its own only: what is shared by a session is made before
        addresses = request.getfixturevalue("addresses")
    machine = Machine.objects.get(business=owner.business)
    judge_machine(owner, machine.pk)
    machine.refresh_from_db()
    typed = {machine.name, machine.customer, machine.place, machine.short_name, "owner", "Wide steel"}
    return addresses, sorted(
        (one for one in typed if one and re.search("[A-Za-z]{2}", one)), key=len, reverse=True
    )


NO_PAGE = ("attachment-file", "blank-sheet", "paper", "plan-paper", "free-quote-paper", "demo")
"""Papers, which the room of papers answers for; the demo yard, whose files hold sentences somebody wrote."""
PIECES = ("gear-drawn",)
"""What a script puts into a page that is open already."""
PAGES = [
    name for name, method in (YARD | MACHINE | SHEET | BOOK).items() if method == "get" and name not in NO_PAGE
]


def test_pages_say_nothing_in_plain_letters(speaking, owner_client, plain):
    addresses, typed = speaking
    found = {}
    for name in PAGES:
        answer = owner_client.get(addresses(name), follow=True)
        if not answer["Content-Type"].startswith("text/html"):
            continue
        page = answer.content.decode()
        assert f'<html lang="{made_up.CODE}">' in page or name in PIECES, name
        found[name] = plain(texts_shown(page), typed)
    assert [f"{name}: {words}" for name, words in found.items() if words] == []
    assert len(found) > 25


def test_no_page_of_the_primer_says_anything_in_plain_letters(speaking, owner_client, plain):
    _, typed = speaking
    pages = [
        *(("primer-part", one.value) for one in PartKind),
        *(("primer-seen", one.value) for one in FindingKind),
        *(("primer-lesson", one) for one in LESSONS),
    ]
    found = {}
    for name, one in pages:
        page = owner_client.get(reverse(name, args=[one])).content.decode()
        assert f'<html lang="{made_up.CODE}">' in page
        found[one] = plain(texts_shown(page), typed)
    assert {one: words for one, words in found.items() if words} == {}


POSTS = [
    name for name, method in (YARD | MACHINE | SHEET | BOOK).items() if method == "post" and name not in NO_PAGE
]
WRONG = {
    "why": "9" * 3000, "archived": "x", "away": "x", "asking_price": "wrong", "window": "wrong", "steps": "x", "settings": "x",
}  # fmt: skip


def test_what_was_done_or_refused_is_said_in_it(speaking, owner_client, plain, nobody_works):
    """The page after each button: with nothing typed, and with what cannot be."""
    addresses, typed = speaking
    found = {}
    for name in POSTS:
        address = addresses(name)
        for sent in ({}, WRONG):
            answer = owner_client.post(address, sent, follow=True)
            if answer["Content-Type"].startswith("text/html"):
                found[name, len(sent)] = plain(texts_shown(answer.content.decode()), typed)
            elif "json" in answer["Content-Type"]:
                said = {
                    key: text for key, text in answer.json().items() if key != "why"
                }  # a word of the app's own
                found[name, len(sent)] = plain(strings_in(said), typed)
    assert [f"{name}: {words}" for name, words in found.items() if words] == []


WRONG_IN = {
    "add": {"name": "", "kind": "x", "hours": "many", "machine_id": "x"},
    "about": {"name": "\x00", "kind": "x", "seen_version": "x", "asking_price": "wrong"},
    "settings": {
        "units": "x",
        "numbers": "x",
        "days": "x",
        "booking_window_weeks": "-1",
        "tool-0-name": "!",
        "seen_version": "1",
    },
    "gear": {"track": "x", "joints_per_side": "1", "pitch": "thick", "week_low": "x", "seen_version": "1"},
    "limits": {"seen_version": "1", "bush/left:x~new": "thick"},
    "machine-file": {"text": "{", "seen_version": "1", "why": ""},
    "book-new": {"name": "", "pitch": "thick"},
    "outlook": {"usual": "many", "middling": "x", "window": "x"},
    "plan": {"horizon": "x", "week": "x", "stop_cost": "-1", "sell": "9"},
    "ground-fit": {"moisture": "x", "slope": "steep", "soil": "x", "shoes": "wide", "cone": "x"},
    "yard": {"kind": "x", "call": "x", "sort": "x", "text": "9" * 300},
    "worth": {"asking_price": "wrong"},
    "which-part": {
        "part": "bottom_roller",
        "size_tread_diameter": "wide",
        "size_bolts_along": "1804",
        "doubt": "x",
    },
    "parts-columns": {"every": "x", "holds_0": "-", "holds_1": "tread diameter", "unit_1": "x"},
}
ASKED = ("outlook", "plan", "ground-fit", "yard", "worth", "which-part")


def test_a_page_with_wrong_values_in_its_fields_refuses_them_in_it(speaking, owner_client, plain):
    addresses, typed = speaking
    typed = sorted(
        {*typed, *(text for sent in WRONG_IN.values() for text in sent.values() if len(text) > 3)},
        key=len,
        reverse=True,
    )
    found = {}
    for name, sent in WRONG_IN.items():
        answer = (owner_client.get if name in ASKED else owner_client.post)(addresses(name), sent)
        found[name] = plain(texts_shown(answer.content.decode()), typed)
    assert [f"{name}: {words}" for name, words in found.items() if words] == []


def test_which_part_fits_is_answered_in_it(speaking, owner_client, plain):
    addresses, typed = speaking
    asked = {"part": "bottom_roller", "size_tread_diameter": "170", "machine": addresses("machine").split("/")[2]}
    page = owner_client.get("/parts/", asked).content.decode()
    assert "<table" in page
    assert plain(texts_shown(page), typed) == []


@pytest.mark.django_db
@pytest.mark.parametrize("name", FORMS)
def test_every_form_asks_and_refuses_in_it(name, spoken, owner, plain):
    """Labels, help, choices, and what is said where nothing, too much, a zero byte or something unknown was typed."""
    with writing(owner.business.writing.__class__(language=made_up.CODE)):
        fields = made(name, {}).fields
        found = [str(text) for field in fields.values() for text in (field.label or "", field.help_text)]
        found += [str(said) for field in fields.values() for _, said in getattr(field, "choices", ())]
        for typed in ("", "9" * 20_000, "a\x00b", "§§", "-1"):
            form = made(name, dict.fromkeys(fields, typed))
            if hasattr(form, "problems"):
                found += [f"{one.allowed}. {one.next_step}" for one in map(in_language, form.problems)]
            found += [str(said) for said in form.errors.values()]
    names = sorted((*fields, "9999"), key=len, reverse=True)
    assert plain([text for said in found for text in re.split(r"<[^>]*>", html.unescape(said))], names) == []


REFUSED = (
    ("get", "machines/6f0c8f0e-0000-4000-8000-00000000000f", {}),
    ("get", "no-such-address", {}),
    ("post", "machines", {"data": "{", "content_type": "application/json"}),
    ("post", "machines", {"data": '{"name": 3}', "content_type": "application/json"}),
    ("post", "machines", {"data": "x", "content_type": "text/plain"}),
    ("delete", "machines", {}),
)


@pytest.mark.parametrize(("method", "address", "sent"), REFUSED)
def test_refusals_of_the_api_are_said_in_it(method, address, sent, speaking, owner_client, plain):
    answer = getattr(owner_client, method)(f"/api/v1/{address}", **sent)
    assert answer.status_code >= 400
    said = [problem["allowed"] + ". " + problem["next_step"] for problem in answer.json()["problems"]]
    assert said
    assert plain(said, []) == []


def test_words_of_the_scripts_come_with_the_page(speaking, owner_client):
    addresses, _ = speaking
    brought = re.search(
        r'<script id="words" type="application/json">(.*?)</script>', owner_client.get("/").content.decode()
    )
    words = json.loads(brought[1])
    assert words["Everything is saved"] == made_up.cyrillic("Everything is saved")
    forms = words["{n} lines to save"]
    assert forms["forms"][forms["of"][1]] == made_up.cyrillic("{n} line to save")
    assert addresses("yard") == "/"


@pytest.mark.django_db
def test_english_pages_bring_no_words_along_and_offer_no_language(client):
    page = client.get("/settings/").content.decode()
    assert '<html lang="en">' in page
    assert 'id="words"' not in page
    assert 'name="language"' not in page


def test_a_business_chooses_its_language(spoken, owner, owner_client):
    page = owner_client.get("/settings/").content.decode()
    assert f'<option value="{made_up.CODE}">' in page
    fields = {
        "seen_version": "1",
        "units": "metric",
        "numbers": "point",
        "days": "day-month",
        "language": made_up.CODE,
    }
    answer = owner_client.post("/settings/", fields, follow=True)
    assert made_up.cyrillic("Pages speak this language from now on.") in answer.content.decode()
    owner.business.refresh_from_db()
    assert owner.business.writing.language == made_up.CODE
    assert f'<html lang="{made_up.CODE}">' in owner_client.get("/settings/").content.decode()


def test_nobody_signed_in_is_spoken_to_in_english(spoken, with_login, db):
    """Whose language it would be is not known yet."""
    assert '<html lang="en">' in Client().get("/sign-in/").content.decode()


def test_what_was_changed_is_said_in_the_language_of_whoever_reads_it(spoken, bring, dossier, owner):
    """Written in English and read in another language, and the other way round; a row of before 0.7.0 stands as it does."""
    actor = Actor(owner.business)
    machine = bring(dossier, judged=False)
    note(actor, machine.pk, [Told(phrase("looked over, {place:place}", place="idler/left"), after="2026-11-09")])
    Change.objects.create(
        business=owner.business, machine_id=machine.pk, who="x", what="of before", after="2026-11-10"
    )
    (new, *_), old = told_changes(Change.objects.filter(after="2026-11-09")), Change.objects.get(what="of before")
    assert (new.what, new.after) == ("looked over, idler, left", "9 Nov 2026")
    with writing(Writing(language=made_up.CODE)):
        told = told_changes(Change.objects.filter(after__startswith="2026-11"))
        note(actor, machine.pk, [Told(phrase("walk-round finished"))])
    assert [one.what for one in told] == ["of before", made_up.cyrillic("looked over, idler, left")]
    assert (old.what, told[0].after) == ("of before", "10 Nov 2026")
    assert told_changes(Change.objects.all()[:1])[0].what == "walk-round finished"
