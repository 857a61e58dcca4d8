"""The buyer's paper and the text for an advert: what a buyer asks stands on them, and nothing of method or of an offer."""

import datetime as dt
import io
from dataclasses import replace

import pypdf
import pytest
from PIL import Image

from pitchline.judge import judge
from pitchline.money.amount import Money
from pitchline.money.bid import Bid, BidLine
from pitchline.papers import words
from pitchline.papers.advert import advert_text
from pitchline.papers.buyer import age_told, buyer_pdf, buyer_story, not_seen_told
from pitchline.papers.ground_answer import answer_said
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.photos import Photo
from pitchline.papers.press import press
from pitchline.papers.worn_told import worn_rows
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call
from pitchline.trade.ground import NamedGround
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.words import say
from said import written

METRIC = UnitSystem.METRIC
SAMPLES = ("excavator", "mini", "empty", "all_run", "all_stop", "long_machine")
METHOD = (
    "cone",
    "vci",
    "remould",
    "rci",
    "likelihood",
    "prior",
    "jcgm",
    "chance",
    "± 95",
    "as judged",
    "ruler",
    "offer",
    "9 in 10",
)
"""Words of how figures are reckoned, and of what we would pay."""


@pytest.fixture(params=SAMPLES)
def verdict(request):
    return request.getfixturevalue(request.param)


def plain(text):
    return " ".join(text.replace(words.GAP, " ").split())


def photo(said="The left side"):
    """A grey picture, made here."""
    content = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(content, "JPEG")
    return Photo(content.getvalue(), 64, 48, said)


def with_bid(verdict):
    """The same with 52,000 asked and an offer of 49,321: invented."""

    def eur(amount):
        return Money(amount, amount, amount, "EUR")

    return replace(
        verdict,
        bid=Bid(
            (BidLine(written("asking price"), eur(52_000.0), written("")),),
            eur(49_321.0),
            eur(49_321.0),
            False,
            (),
        ),
    )


def test_two_or_three_pages_and_nothing_to_remark(verdict):
    pages = pypdf.PdfReader(io.BytesIO(buyer_pdf(verdict, photos=[photo()] * 8))).pages
    assert 2 <= len(pages) <= 3
    assert press("buyer.typ", buyer_story(verdict, METRIC, photos=[photo()] * 8), verdict.as_of)[1] == ()


def test_nothing_of_method_or_of_an_offer(verdict, text_of):
    told = with_bid(verdict)
    for text in (text_of(buyer_pdf(told)), plain(advert_text(told))):
        said = text.lower().replace("no offer", "")
        assert [word for word in METHOD if word in said] == []
        assert "49,3" not in said
        assert "EUR 52,000, without tax" in text


def test_what_is_asked_stands_there_without_prices_too(excavator, text_of):
    asked = AskingPrice(48_125.5, "EUR")
    assert "asking price EUR 48,125.50, without tax" in text_of(buyer_pdf(excavator, asking=asked))
    assert "Asking price EUR 48,125.50, without tax." in advert_text(excavator, asking=asked)
    assert "sking price" not in text_of(buyer_pdf(excavator)) + advert_text(excavator)


def test_every_job_with_its_cost_and_every_finding_stands_on_both(excavator, text_of):
    paper, advert = text_of(buyer_pdf(excavator)), plain(advert_text(excavator))
    for job in buyer_story(excavator, METRIC)["jobs"]:
        assert plain(job["what"]) in paper
        assert f"{plain(job['what'])}: " in advert
        assert plain(job["price"]) in paper
        assert plain(job["price"]) in advert
    for part in excavator.parts:
        for finding in part.findings:
            assert say(finding.told()) in paper
            assert say(finding.told()) in advert
    assert "oil down the guard" in paper
    assert "oil down the guard" not in advert  # a note of the walk-round is not for an advert


def test_the_worst_of_several_is_told_with_its_size(excavator):
    """Bottom rollers left by the table in conftest: life used 0.45 and 0.015 times (7 n mod 5 - 2), the most 0.48 at 2 and 7."""
    row = next(row for row in worn_rows(excavator, METRIC) if row.part is PartKind.BOTTOM_ROLLER)
    assert plain(row.left.used) == "42 to 48 %"
    assert row.left.share == pytest.approx(0.48)
    assert plain(row.left.measured).startswith("no. 2, tread diameter 152.3 mm (new 160.0 mm, limit 144.0 mm)")
    assert (row.left.call, plain(row.left.which), row.left.left) == (Call.STOP, "no. 6", "now")


def test_no_group_is_called_run_for_those_nobody_looked_at(excavator):
    parts = tuple(
        replace(part, call=Call.UNJUDGED, looked_at=False, judged=(), findings=())
        if part.place.part is PartKind.BOTTOM_ROLLER and part.place.position > 3
        else part
        for part in excavator.parts
    )
    told = replace(excavator, parts=parts, looked_at=(len(parts) - 10, len(parts)))
    row = next(row for row in worn_rows(told, METRIC) if row.part is PartKind.BOTTOM_ROLLER)
    assert (plain(row.right.which), row.right.called, row.right.lacking) == (
        "no. 1 to 3",
        "run",
        "5 of 8 not looked at",
    )
    assert "Not looked at: bottom rollers 4 to 8, both sides." in plain(" ".join(not_seen_told(told)))
    for text in (advert_text(told), " ".join(not_seen_told(told))):
        assert "bottom rollers 4 to 8, both sides" in plain(text)
    assert f"{len(parts) - 10} of {len(parts)} parts looked at." in advert_text(told)


def test_a_reading_held_back_is_no_figure_and_is_said(excavator):
    parts = list(excavator.parts)
    at = next(n for n, part in enumerate(parts) if part.place.part is PartKind.IDLER)
    parts[at] = replace(parts[at], judged=(replace(parts[at].judged[0], status="held back"),))
    told = replace(excavator, parts=tuple(parts))
    row = next(row for row in worn_rows(told, METRIC) if row.part is PartKind.IDLER)
    assert (row.left.used, row.left.share, row.left.lacking) == ("", None, "measured unclear")
    assert "not cleared up and counts for nothing: idler, left" in " ".join(not_seen_told(told))


def test_how_old_the_readings_are_is_said_in_plain_words(excavator, empty):
    assert age_told(empty) == "Nobody has gone round it yet."
    assert plain(age_told(excavator)) == "Gone round on 12 Nov 2026 at 7,420 h on the meter; told for that day."
    later = replace(
        excavator, as_of=excavator.as_of + dt.timedelta(days=105), carried_h=480.0, read_on=excavator.as_of
    )
    # 105 days are 15 weeks, over a quarter of a year
    assert plain(age_told(later)) == (
        "Gone round on 12 Nov 2026 at 7,420 h on the meter; told for 25 Feb 2027, 15 weeks later, with 480 h of work since "
        "reckoned in. These readings are old: have it gone round again before you buy by them."
    )
    unknown = replace(later, carried_h=0.0, utilisation=None, as_of=excavator.as_of + dt.timedelta(days=1))
    assert "1 day later, without the hours worked since, which nobody entered." in age_told(unknown)


def test_an_invented_machine_says_so_on_both(excavator, text_of):
    assert "Invented example." in text_of(buyer_pdf(excavator))
    assert "Invented example." in advert_text(excavator)


def test_a_note_that_is_not_about_being_invented_stays_inside(excavator, text_of):
    told = replace(excavator, machine=replace(excavator.machine, note="Customer pays late."))
    assert "pays late" not in text_of(buyer_pdf(told)) + advert_text(told)


def test_photos_stand_on_it_as_they_are_with_what_they_show(excavator, text_of):
    """The JPEG goes into the file byte for byte (ISO 32000-1, 7.4.8: DCTDecode); at most six of them."""
    one = photo("Bottom roller 6, left: oil")
    pdf = buyer_pdf(excavator, photos=[one] * 8)
    assert one.jpeg in pdf
    assert text_of(pdf).count("Bottom roller 6, left: oil") == 6
    assert one.jpeg not in buyer_pdf(excavator)


def test_the_advert_is_plain_text(verdict):
    text = advert_text(verdict)
    assert text.endswith("\n")
    assert not set(text) & set("<>*#_`\t\u00a0\r")
    assert "nothing of engine, hydraulics, structure, attachments, papers or ownership." in text
    assert words.WORKING_AID in text


def test_what_was_typed_is_never_markup(excavator, text_of):
    named = replace(excavator, machine=replace(excavator.machine, name="#panic() *bold* $x$ <a> 1 < 2"))
    assert "#panic() *bold* $x$ <a> 1 < 2" in text_of(buyer_pdf(named, photos=[photo("#panic() <b>")]))
    assert "#panic() <b>" in text_of(buyer_pdf(named, photos=[photo("#panic() <b>")]))


def test_the_same_input_gives_the_same_bytes(excavator):
    assert buyer_pdf(excavator, photos=[photo()]) == buyer_pdf(excavator, photos=[photo()])


def test_the_ground_stands_on_it_in_one_sentence_without_its_method(dossier, text_of):
    """The same words are on the colleague's paper, so the list of them is worth something."""
    told = judge(replace(dossier, ground_mix=(NamedGround("peat", 60), NamedGround("hard earth", 40))))
    text, advert = text_of(buyer_pdf(told)), plain(advert_text(told))
    said = plain(answer_said(told.ground_fit))
    assert said in text
    assert said in advert
    method = [word for word in METHOD if word in text_of(verdict_pdf(told)).lower()]
    assert {"cone", "vci", "rci"} <= set(method)
    for one in (text, advert):
        assert [word for word in METHOD if word in one.lower()] == []


def test_days_say_at_what_hours_a_week_and_hours_on_what_ground(excavator, text_of):
    """38 h a week and middling ground are the sample's; a buyer works it otherwise."""
    for text in (text_of(buyer_pdf(excavator)), plain(advert_text(excavator))):
        assert "Hours are for middling ground; days at 38 h a week: worked more, they come sooner." in text
    idle = replace(excavator, utilisation=None)
    assert "no days are told, because hours a week are not known." in text_of(buyer_pdf(idle))
