"""The primer: everything of the trade has its page, every link leads somewhere, machine pages lead there and back."""

import re
from dataclasses import replace
from html import unescape
from itertools import product
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.urls import reverse

import pitchline
from pitchline.cause.nets import RUBBER, STEEL
from pitchline.desk.primer import pages
from pitchline.desk.primer.lessons import LESSONS
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.consequences import CONSEQUENCES, FindingKind
from pitchline.trade.findings import Finding, Severity
from pitchline.trade.jobs import SOURCES, Caution, JobKind
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import label
from pitchline.words.how_read import how_read

EVERY_PAGE = [
    "/primer/",
    "/primer/practice/",
    "/primer/practice/learners/",
    *(f"/primer/parts/{one.value}/" for one in PartKind),
    *(f"/primer/seen/{one.value}/" for one in FindingKind),
    *(f"/primer/{one}/" for one in LESSONS),
]


def page(client, address):
    answer = client.get(address)
    assert answer.status_code == 200, address
    return unescape(answer.content.decode())


def text_of(page):
    return " ".join(re.sub(r"<(script|style|svg)\b.*?</\1>|<[^>]*>", " ", page, flags=re.DOTALL).split())


KNOWN = {}


@pytest.fixture
def every(client, actor):
    """Every page of the primer by its address, asked for once: in a yard without a machine they never differ."""
    if not KNOWN:
        KNOWN.update((address, page(client, address)) for address in EVERY_PAGE)
    return KNOWN


def test_every_link_leads_to_a_page_and_to_a_place_on_it(every):
    """Links inside the primer; no page is left that nothing leads to."""
    led_to = set()
    for address, text in every.items():
        for href in re.findall(r'href="(/primer/[^"?]*)"', text):
            goal, _, mark = href.partition("#")
            if re.fullmatch(
                r"/primer/(practice/[0-9a-f]{10}/|slides\.pdf)", goal
            ):  # test_practice.py, test_slides.py
                continue
            assert goal in every, (address, href)
            assert not mark or f'id="{mark}"' in every[goal], (address, href)
            led_to.add(goal)
    assert led_to == set(every)


def test_each_page_has_one_head_and_each_id_once(every):
    for address, text in every.items():
        ids = re.findall(r'\sid="([^"]+)"', text)
        assert text.count("<h1") == 1, address
        assert len(ids) == len(set(ids)), (address, {one for one in ids if ids.count(one) > 1})


def test_every_quantity_is_told_with_its_picture_on_each_of_its_parts(every):
    for measurand, facts in MEASURANDS.items():
        for part in facts.parts:
            text = every[f"/primer/parts/{part.value}/"]
            told = text[text.index(f'id="{measurand.value}"') :]
            assert how_read(measurand) in text_of(told)
            assert f"measured/{measurand.value}" in told
    assert all(f'id="{one.value}"' in every["/primer/measuring/"] for one in Measurand)


def test_every_finding_says_what_it_leads_to_on_each_of_its_parts(every):
    """What the primer says is what a finding does: three calls a part, and bolts by their number."""
    for kind in FindingKind:
        rows = pages.grades(kind)
        assert len(rows) == len(CONSEQUENCES[kind].parts)
        for row, part in zip(rows, CONSEQUENCES[kind].parts, strict=True):
            calls = CONSEQUENCES[kind].on(part).calls
            counted = kind in (FindingKind.MISSING_BOLTS, FindingKind.LOOSE_BOLTS)
            assert counted == bool(row.border)
            if not counted:
                assert [cell[0] for cell in row.cells] == [call.value for call in calls]
            if kind is FindingKind.CRACKED and part in (PartKind.LINK, PartKind.BUSH, PartKind.CHAIN):
                assert {cell[3] for cell in row.cells} == {
                    label(JobKind.INVESTIGATE)
                }  # docs/reference/findings.md
            if kind is FindingKind.BENT and part is PartKind.SHOE:
                assert row.cells[-1][3] == label(JobKind.RESHOE)
        seen_on = {
            part for part in PartKind if f"/primer/parts/{part.value}/" in every[f"/primer/seen/{kind.value}/"]
        }
        assert seen_on.issuperset(CONSEQUENCES[kind].parts)
    for part in PartKind:
        text = every[f"/primer/parts/{part.value}/"]
        shown = {one for one in FindingKind if f"/primer/seen/{one.value}/" in text}
        assert shown == {one for one in FindingKind if part in CONSEQUENCES[one].parts}


def test_every_cause_sign_job_and_caution_has_its_place(every):
    causes, patterns = every["/primer/causes/"], every["/primer/patterns/"]
    assert all(f'id="{one.value}"' in causes for one in Cause)
    assert all(f'id="{one.value}"' in patterns for one in Sign)
    assert all(f'id="{one.value}"' in every["/primer/jobs/"] for one in JobKind)
    clear = text_of(every["/primer/clear/"])
    assert all(SOURCES[one] in clear for one in Caution)
    for net in (STEEL, RUBBER):
        for cause, sign in product(net.strengths, Sign):
            if sign in net.strengths[cause]:
                assert f"/primer/patterns/#{sign.value}" in causes[causes.index(f'id="{cause.value}"') :]


def test_every_page_that_goes_near_a_track_says_take_care(every):
    for address, text in every.items():
        if address.startswith(("/primer/parts/", "/primer/seen/")):
            assert 'id="cautions"' in text, address
    assert "can go through skin" in text_of(every["/primer/parts/track_adjuster/"])
    assert "competent person" in text_of(every["/primer/"])


@pytest.mark.parametrize(
    ("asked", "goal"),
    [
        ("carrier roller", "/primer/parts/upper_roller/"),
        ("track plate", "/primer/parts/shoe/"),
        ("Bushing", "/primer/parts/bush/"),
        ("recoil spring", "/primer/parts/track_adjuster/"),
        ("snaking", "/primer/seen/snaking/"),
        ("sag", "/primer/parts/chain/#sag"),
        ("too tight", "/primer/causes/#tight"),
        ("re-shoe", "/primer/jobs/#reshoe"),
        ("pressed pins", "/primer/clear/#cautions"),
    ],
)
def test_words_of_the_trade_are_found(client, actor, asked, goal):
    """Words beside ours are common practice of the trade, no source."""
    found = page(client, f"/primer/?q={asked}").partition("Found for")[2].partition("</section>")[0]
    assert f'href="{goal}"' in found


def words_of_the_glossary():
    """Each word of its tables of parts, sizes, things seen, jobs and cautions."""
    text = (Path(pitchline.__file__).parents[2] / "docs/glossary.md").read_text(encoding="utf-8")
    for head in ("Parts", "Measurands", "Findings and severities", "Jobs", "Cautions"):
        table = text.split(f"\n## {head}\n")[1].split("\n## ")[0]
        yield from (word for word in re.findall(r"^\| ([^|]+) \| `", table, re.MULTILINE))


OF_THE_DESK = {"slight, clear, severe", "on one", "last seen on"}
"""How bad and how many: columns of the primer's tables."""


def test_words_of_the_glossary_are_found():
    words = {one.replace("(of a bush)", "").strip() for one in words_of_the_glossary()} - OF_THE_DESK
    assert len(words) > 80
    assert [word for word in sorted(words) if not pages.found(word)] == []
    trade = (
        "pin",
        "pitch",
        "grouser",
        "recoil spring",
        "life used",
        "lay-up",
        "wear limit",
        "wear line",
        "outlook",
        "joint",
    )
    assert [word for word in trade if not pages.found(word)] == []


def test_nothing_found_is_said_and_odd_words_do_no_harm(client, actor):
    for asked in ("qqqq", "%00", "x" * 3000, "<b>"):
        assert "Nothing. Try one word" in page(client, f"/primer/?q={asked}")


@pytest.mark.parametrize("address", ["parts/anvil/", "seen/rust/", "no-such/", "parts/bush/x/"])
def test_what_is_not_there_is_not_found(client, actor, address):
    assert client.get(f"/primer/{address}").status_code == 404


def test_a_machine_leads_to_the_primer_and_the_primer_back(client, actor, bring, dossier):
    machine = bring(dossier)
    part = reverse("part", args=[machine.pk, "bush/left"])
    assert "/primer/parts/bush/" in page(client, part)
    assert re.search(
        rf'class="do">On your yard: <a href="/machines/{machine.pk}/parts?/bush/',
        page(client, "/primer/parts/bush/"),
    )
    assert "Filled in on a made-up machine" in text_of(page(client, "/primer/parts/rubber_track/"))


def test_a_thing_seen_leads_to_its_page_and_back(client, actor, bring, dossier):
    seen = Finding(Place(PartKind.SPROCKET, Side.LEFT), FindingKind.HOOKED_TEETH, Severity.CLEAR)
    *before, last = dossier.walk_rounds
    machine = bring(replace(dossier, walk_rounds=(*before, replace(last, findings=(seen,)))))
    part = reverse("part", args=[machine.pk, "sprocket/left"])
    assert "/primer/seen/hooked_teeth/" in page(client, part)
    assert f'On your yard: <a href="{part}"' in page(client, "/primer/seen/hooked_teeth/")
    assert "On your yard" not in page(client, "/primer/seen/leak/")


def test_the_example_is_never_another_business_s(owner, owner_client, stranger_client, bring, dossier):
    machine = bring(dossier, who=owner)
    assert str(machine.pk) in page(owner_client, "/primer/parts/bush/")
    assert str(machine.pk) not in page(stranger_client, "/primer/parts/bush/")


def test_a_bush_that_moves_stands_still_where_motion_is_unwanted(every):
    css = Path(finders.find("primer/primer.css")).read_text(encoding="utf-8")
    assert 'class="turns"' in every["/primer/turning/"]
    assert re.search(r"prefers-reduced-motion: reduce\) \{ \.turns \{ animation: none", css)
    assert label(PartKind.BUSH) in every["/primer/turning/"]


QUESTIONS = (
    # Wear and its causes: NAVEDTRA 14273, TM 5-3805-280-10, TB 43-PS-675, TM 5-3810-289-12 (docs/explanation/causes.md).
    ("Why does a track set right in the yard run tight on site?", "tension", "Soil in the teeth takes up slack"),
    ("When does a slack chain climb its teeth most?", "tension", "most in reverse"),
    ("Which face of a bush wears more, and why?", "parts/bush", "reverse the other, and that more"),
    ("What does turning win, and when is it too late?", "turning", "the wall is too thin to turn"),
    ("What do bright marks on pin bosses say?", "patterns", "flange marks on bosses say that rails are worn"),
    ("Is a rounded tooth tip the end of a sprocket?", "parts/sprocket", "A rounded tip alone does not end it"),
    ("Why not a new sprocket on a worn chain?", "sprockets", "a new sprocket does not cure it"),
    ("What ends an idler?", "parts/idler", "the flange reaches the bushes"),
    ("A rail is hollow: idler, or tension?", "seen/hollow_rail", "worn deep, it is the idler"),
    ("The track goes slack again: adjuster, or its setting?", "seen/losing_pressure", "where both go slack alike"),
    ("Turns one way, or works across slopes?", "patterns", "mirrored left and right, it turns one way"),
    ("How is a dry joint found?", "seen/dry_joint", "a dry one is hot"),
    ("What does a ring round a bolt's head say?", "seen/loose_bolts", "A bright or rusty ring round the head"),
    ("Why do wide shoes break on rock?", "widths", "The long lever bends it"),
    ("When do missing guide lugs become a danger?", "rubber", "Two gone in a row, and it may run off"),
    ("Why does a cut count more than a low lug?", "rubber", "A cut down to the cord lets water in"),
    ("300x82x55 or 300x55x82: how is it told?", "rubber", "Count the links where you doubt the order"),
    # What hurts people: HSE bulletins, MA FACE 13-MA-002-01, NIOSH FACE 17OR007, PUWER 1998.
    ("May one go under a machine on a jack?", "clear", "hold nothing by themselves"),
    ("May a roller full of oil be heated?", "clear", "nothing closed is heated"),
    ("Is a walk-round the inspection the law asks for?", "calls", "A walk-round is no such inspection"),
)  # fmt: skip
"""Twenty questions written from the sources, not from the primer, and what has to stand on the page that answers each."""


@pytest.mark.parametrize(("question", "where", "answer"), QUESTIONS)
def test_twenty_questions_of_the_trade_are_answered(question, where, answer, every):
    assert answer in text_of(every[f"/primer/{where}/"]), question
