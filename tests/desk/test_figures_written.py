"""Figures and days stand in the business's way wherever they are read, and what somebody typed stands as they typed it.

What has to come out follows from the settings' own words; the crawl knows no page by name, so that no page can be forgotten.
"""

import io
import json
import re
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin

import pypdf
import pytest

from judged_once import key_of
from pitchline.desk.api import verdicts
from pitchline.desk.bridge.figures import LIST_FIELDS, verdict_of, verdict_text
from pitchline.desk.machine import judging
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.outlook import views as outlook_views
from pitchline.desk.people.models import Business
from pitchline.desk.workplan import actions
from pitchline.desk.workplan.models import Plan
from pitchline.judge import judge
from pitchline.judge.whole import footing_of
from pitchline.trade import writing
from pitchline.trade.jobs import SOURCES
from pitchline.trade.units import Typed

GROUP, DECIMAL = "\u00b7", "\u02d9"
"""Marks nobody uses: whatever still has a comma or a point between digits did not go through the formatter."""
FIGURE = re.compile(r"(?<![\w.,/-])\d+(?:[.,]\d+)+")
DAY = re.compile(r"\d{1,2}\s(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\s\d{4}")
NO_FIGURE = re.compile(
    r"\b\d+ CFR \d+(?:\.\d+)?|\bUFC [\d-]+, [\d-]+\.\d+|pitchline \d+(?:\.\d+)+|\b(?:HTTP|ISO|JCGM|EN)\W*\d[\d.:]*"
)
"""Rules, standards and versions are names with digits in them."""


class Texts(HTMLParser):
    """The texts and labels of a page that somebody reads, and where its links lead."""

    def __init__(self):
        super().__init__()
        self.found, self.links, self.skipped = [], [], []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if tag in ("script", "style", "textarea", "code", "pre"):
            self.skipped.append(tag)
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
        self.found += [given[name] for name in ("aria-label", "alt", "title", "aria-valuetext") if given.get(name)]

    def handle_endtag(self, tag):
        if self.skipped and self.skipped[-1] == tag:
            self.skipped.pop()

    def handle_data(self, data):
        if not self.skipped:
            self.found.append(data)


def leaks(texts, typed):
    """Figures and days in the usual way, each with the words round it; what was typed is taken out first."""
    for text in texts:
        left = NO_FIGURE.sub("", text)
        for one in typed:
            left = left.replace(one, "").replace(one.replace(" ", "\u00a0"), "")
        if FIGURE.search(left) or DAY.search(left):
            yield " ".join(left.split())[:160]


def crawled(client, *starts):
    """Every page of the desk that a link leads to from here, by address; of two like sides one, of like parts the first."""
    waiting, seen = list(starts), set()
    while waiting:
        address = waiting.pop()
        if address in seen or not address.startswith("/") or address.startswith(("/static/", "/api/")):
            continue
        if "/right/" in address or re.search(r"/left/[2-9]/", address):
            continue
        seen.add(address)
        answer = client.get(address)
        if answer.streaming or not answer.headers.get("Content-Type", "").startswith("text/html"):
            continue
        page = Texts()
        page.feed(answer.content.decode())
        waiting += [urldefrag(urljoin(address, link)).url for link in page.links]
        yield address, page


_CLEAR = {}


def judge_marked(dossier, prices, as_of, units, **planning):
    """The real judgement in the marks nobody types, kept apart from all others."""
    key = key_of(dossier, prices, as_of, units, planning)
    if key not in _CLEAR:
        _CLEAR[key] = judge(dossier, prices, as_of, units, **planning)
    return _CLEAR[key]


@pytest.fixture
def own_marks(monkeypatch):
    """Every way but the usual one has marks nobody types; no judgement in other marks is taken for one in these."""
    for asks in (judging, actions, verdicts, outlook_views):
        monkeypatch.setattr(asks, "judge", judge_marked)
    monkeypatch.setattr(actions, "footing_of", footing_of)
    monkeypatch.setattr(writing, "_exchanged", lambda numbers: {ord(","): GROUP, ord("."): DECIMAL})


@pytest.fixture
def comma(actor):
    """The yard writes 1.234,5 and 2026-11-12."""
    Business.objects.filter(pk=actor.business.pk).update(numbers="comma", days="iso")
    actor.business.refresh_from_db()


def typed_in(dossier):
    """Everything somebody typed about a machine, longest first, with the kinds of fields it is shown again in."""
    found = {typed.text for visit in dossier.walk_rounds for one in visit.readings for typed in one.typed}
    found |= {f"{text} {unit}" for text in found for unit in ("mm", "in")}
    return sorted(found, key=len, reverse=True)


EXAMPLES = {"/settings/": ["1,234.5", "12 Nov 2026"]}
"""What a page shows of the usual way on purpose: the settings offer it."""
ASKED = (
    "/machines/{}/ground/?soil=wet heavy clay&cone=62.5&remould=0.85&slope=12.5&load=1250&reach=4.5",
    "/machines/{}/ground/?soil=wet heavy clay&slope=65.5&remould=0.85",
    "/machines/{}/outlook/?low=20.5&usual=31.25&high=45.5&window=7.5",
    "/machines/{}/outlook/?low=2000.5&usual=30&high=40&middling=33.33",
    "/machines/{}/plan/?horizon=6000&stop1=1234.5",
    "/machines/{}/plan/?horizon=1234567.5",
)
"""Questions typed into an address, some of them refused."""
RAIL = "link/left:rail_height"


def test_no_page_keeps_a_figure_or_a_day_of_the_usual_way(
    client, actor, comma, own_marks, bring, dossier, priced_yard, begin, save
):
    machine = bring(dossier)
    sheet = begin(machine)
    save(sheet, fields={f"{RAIL}~1": "9.8", f"{RAIL}~v": "0"})
    client.post(f"/machines/{machine.pk}/plan/work-out/", {"horizon": "6000"})
    pages = dict(crawled(client, "/", *(each.format(machine.pk) for each in ASKED)))
    typed = [
        *SOURCES.values(),
        "56.14107",
        "9.8",
        "12.5",
        "0.85",
        "65.5",
        "2000.5",
        "33.33",
        "1234.5",
        "1234567.5",
        *typed_in(dossier),
    ]
    told = {address: list(leaks(page.found, typed + EXAMPLES.get(address, []))) for address, page in pages.items()}
    assert {address: said for address, said in told.items() if said} == {}
    texts = {address: "".join(page.found) for address, page in pages.items()}
    assert len(pages) > 50
    assert sum(GROUP in text for text in texts.values()) > 40
    assert sum(DECIMAL in text for text in texts.values()) > 30


def strings_of(item):
    """Every text in a JSON value."""
    if isinstance(item, str):
        yield item
    for each in item.values() if isinstance(item, dict) else item if isinstance(item, list) else ():
        yield from strings_of(each)


def test_what_a_verdict_says_in_json_is_written_so_and_its_numbers_are_json(
    client, comma, own_marks, bring, dossier
):
    machine = bring(dossier)
    whole = json.loads(client.get(f"/api/v1/machines/{machine.pk}/verdict").content)
    assert whole["writing"] == {"numbers": "comma", "days": "iso", "units": "metric", "language": "en"}
    del whole["walk_rounds"], whole["version"]
    assert list(leaks(strings_of(whole), typed_in(dossier))) == []
    assert any(GROUP in text for text in strings_of(whole))
    assert isinstance(whole["from_service_h"], float)


def test_walk_round_answers_are_written_so(client, comma, own_marks, machine, begin, save):
    sheet = begin(machine)
    answer = save(sheet, fields={f"{RAIL}~1": "9.8"}).json()
    assert list(leaks(strings_of(answer), ["9.8"])) == []
    assert DECIMAL in json.dumps(answer, ensure_ascii=False)


def test_places_of_a_stop_are_written_so(client, comma, own_marks, bring, dossier, priced_yard):
    machine = bring(dossier)
    client.post(f"/machines/{machine.pk}/plan/work-out/", {"horizon": "6000"})
    answer = client.get(f"/machines/{machine.pk}/plan/{Plan.objects.get().pk}/spots/", {"stop": "1"}).json()
    assert list(leaks(strings_of(answer), [])) == []
    assert any(GROUP in spot["said"] for spot in answer["spots"])
    assert {type(spot.get("cost", 0.0)) for spot in answer["spots"]} <= {float, int}


NAME, CUSTOMER, PLACE = "Digger 7.5 t, bought 3 Nov 2026", "Yard 12.450 Ltd", "Pit 1,250"


@pytest.fixture
def digger(bring, worn):
    """A worn machine whose name, customer and place look like figures and days."""
    dossier = worn(1.2)
    machine = bring(replace(dossier, machine=replace(dossier.machine, name=NAME)))
    Machine.objects.filter(pk=machine.pk).update(customer=CUSTOMER, place=PLACE)
    return machine


def test_what_was_typed_stands_as_typed(client, comma, digger, priced_yard, actor):
    judge_machine(actor, digger.pk)
    at = f"/machines/{digger.pk}/"
    judged = Machine.objects.get(pk=digger.pk).judgement_id
    whole = client.get(f"/api/v1{at}verdict").json()
    assert whole["machine"]["name"] == NAME
    assert client.get(f"/api/v1/machines/{digger.pk}").json()["customer"] == CUSTOMER
    client.post(
        f"{at}about/",
        {"seen_version": 1, "name": NAME, "kind": "excavator", "customer": CUSTOMER, "place": "Quay 2.500"},
    )
    for address in (
        "/",
        at,
        f"{at}changes/",
        f"{at}about/",
        f"{at}parts/bush/left/",
        f"{at}outlook/",
        f"{at}ground/",
    ):
        assert NAME in unescape(client.get(address).content.decode()), address
    assert "Quay 2.500" in client.get(f"{at}changes/").content.decode()
    for name in ("buyer.pdf", "colleague.pdf", "workshop.pdf"):
        assert NAME in printed(client.get(f"{at}papers/{judged}/{name}")), name
    assert CUSTOMER in printed(client.get(f"{at}papers/{judged}/quote.pdf"))


def test_a_reading_stands_as_typed_beside_its_figure(client, comma, bring, dossier):
    rounds = tuple(
        replace(visit, readings=tuple(replace(one, typed=typed_of(one)) for one in visit.readings))
        for visit in dossier.walk_rounds
    )
    machine = bring(replace(dossier, walk_rounds=rounds))
    page = client.get(f"/machines/{machine.pk}/parts/bush/left/").content.decode()
    assert re.search(r'<td class="num">58\.0\smm</td>\s*<td class="num strong">58,0\smm</td>', page)
    told = json.loads(verdict_text(machine.judgement))
    assert "58.0 mm" in {
        typed["text"] for visit in told["walk_rounds"] for one in visit["readings"] for typed in one["typed"]
    }


def typed_of(reading):
    """What somebody with a decimal point on their mind would have typed."""
    return tuple(Typed(f"{repeat * 1e3:.1f} mm", "mm", repeat) for repeat in reading.repeats_m)


def printed(answer):
    """The text of a paper, with single spaces."""
    pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    return " ".join("\n".join(page.extract_text() for page in pages).split())


@pytest.mark.parametrize(("field", "text"), [("customer", CUSTOMER), ("site", PLACE)])
def test_a_list_is_filtered_by_what_was_typed(client, comma, digger, field, text):
    page = unescape(client.get("/").content.decode())
    (sent,) = re.findall(rf'<select id="{field}".*?<option value="([^"]+)"', page, re.DOTALL)
    assert sent == text
    assert NAME in client.get("/", {field: sent}).content.decode()


def test_papers_are_written_as_their_judgement_was(client, comma, digger, priced_yard, actor):
    judge_machine(actor, digger.pk)
    at, judged = f"/machines/{digger.pk}/papers/", Machine.objects.get(pk=digger.pk).judgement_id
    usual = re.compile(r"\d\.\d(?!\d\d)|\d,\d{3}\sh|(?:EUR|mm)\s\d+,\d{3}")
    for name in ("buyer.pdf", "colleague.pdf", "quote.pdf", "workshop.pdf"):
        text = NO_FIGURE.sub(
            "", printed(client.get(f"{at}{judged}/{name}")).replace(NAME, "").replace(CUSTOMER, "")
        )
        for one in typed_in(verdict_of(Judgement.objects.get(pk=judged))):
            text = text.replace(one, "")
        assert not usual.findall(text), name
        assert re.search(r"\d\.\d{3}|\d,\d", text), name
        assert not DAY.search(text), name
    before = client.get(f"{at}{judged}/verdict.pdf").content
    Business.objects.update(numbers="point", days="day-month")
    assert client.get(f"{at}{judged}/verdict.pdf").content == before


def test_another_way_is_told_anew_and_moves_no_figure(client, actor, machine):
    old = verdict_of(machine.judgement)
    post = {"seen_version": 1, "units": "metric", "numbers": "comma", "days": "iso"}
    said = client.post("/settings/", post, follow=True).content.decode()
    assert "Saved. Numbers and days are written so from now on. No call, figure or plan changes" in said
    now = Machine.objects.get(pk=machine.pk)
    new = verdict_of(now.judgement)
    assert now.judgement.footing == machine.judgement.footing
    assert [(part.call, part.due) for part in new.parts] == [(part.call, part.due) for part in old.parts]
    assert new.writing == writing.Writing("comma", "iso")
    assert {name: getattr(now, name) for name in LIST_FIELDS} == {
        name: getattr(machine, name) for name in LIST_FIELDS
    }


def test_two_yards_are_each_written_their_own_way(client, with_login, owner_client, owner, bring, dossier):
    """What is remembered of a page for one business is not shown to another that writes otherwise."""
    machine = bring(dossier, who=owner)
    for numbers, said in (("point", "3,000"), ("comma", "3.000"), ("space", "3\u202f000"), ("point", "3,000")):
        Business.objects.filter(pk=owner.business.pk).update(numbers=numbers)
        assert f"{said}\u00a0h" in owner_client.get("/").content.decode(), (numbers, machine.hours_h)
