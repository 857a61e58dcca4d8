"""Quote and work order: what stands on them, and that they fit."""

import datetime as dt
import io
from dataclasses import replace

import pypdf
import pytest

from pitchline.money.prices import PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.papers.needed import needed_for
from pitchline.papers.press import press
from pitchline.papers.quote import quote_pdf, quote_story
from pitchline.papers.stop import in_order_of_work, next_stop
from pitchline.papers.words import GAP
from pitchline.papers.work_order import work_order_pdf, work_order_story
from pitchline.trade.calls import Call, Stake
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import Caution, JobKind, cautions_of
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Judged, Money
from pitchline.words import say
from pitchline.words.cautions import caution_text
from said import written

STOP = StopCosts(lorry=400.0, standing_per_h=50.0, opening_per_side=100.0)
LIST = PriceList("EUR", 65.0, (), "invented", 0.19, STOP)
UNTIL = dt.date(2026, 12, 12)


def pages(pdf):
    return len(pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.fixture
def stop(excavator):
    return next_stop(excavator, LIST)


def test_the_next_stop_holds_what_is_called_stop_or_book(excavator, stop):
    assert {job.call for job in stop.jobs} == {Call.STOP, Call.BOOK}
    assert set(stop.jobs) == {job for job in excavator.jobs if job.call is not Call.RUN}
    assert tuple(map(say, stop.not_entered)) == ("call-out", "fitter's day")


def test_a_part_is_looked_into_before_it_is_renewed(stop):
    """One-sided wear has a cause that wears the new part too; what else stops the machine still comes first."""
    gone = replace(stop.jobs[0], kind=JobKind.REPLACE, call=Call.STOP, stake=Stake.UNSAFE)
    look = replace(gone, kind=JobKind.INVESTIGATE, call=Call.BOOK)
    other = replace(gone, places=tuple(replace(one, side=Side.NONE) for one in gone.places))
    assert in_order_of_work((look, gone, other)) in ((look, gone, other), (other, look, gone))
    elsewhere = replace(look, places=other.places)
    assert in_order_of_work((elsewhere, gone)) == (gone, elsewhere)


def test_nothing_due_is_no_stop(all_run):
    assert next_stop(all_run, LIST) is None


def test_a_quote_adds_up_by_hand_with_its_tax_apart(excavator, stop):
    """Lorry 400, two tracks opened 200, and the jobs' own prices; 19 % on top. The standing machine is its owner's."""
    told = quote_story(excavator, stop, UNTIL, UnitSystem.METRIC)
    jobs = sum(job.price.usual for job in stop.jobs if job.price)
    net = jobs + 400 + 100 * len(stop.order.opened)
    assert [charge["what"].split(",")[0] for charge in told["charges"]] == [
        "Lorry",
        "Opening the track and closing it again",
    ]
    assert told["net"] == f"{net:,.2f}"
    assert told["tax"] == f"{net * 0.19:,.2f}"
    assert told["gross"] == f"{net * 1.19:,.2f}"
    assert stop.price.usual == pytest.approx(net + 50 * stop.order.labour_h)


def test_a_quote_says_by_which_price_list_it_was_made(excavator, stop, text_of):
    text = text_of(quote_pdf(excavator, stop, UNTIL, price_list="price list 4 of 3 Aug 2026"))
    assert "Made by price list 4 of 3 Aug 2026." in text
    assert "Made by" not in text_of(quote_pdf(excavator, stop, UNTIL))


def test_a_quote_without_a_tax_rate_shows_no_tax(excavator, text_of):
    stop = next_stop(excavator, replace(LIST, tax_rate=None))
    text = text_of(quote_pdf(excavator, stop, UNTIL))
    assert "Tax," not in text
    assert "No tax rate was entered" in text


def test_a_quote_says_what_it_leaves_out_and_how_long_it_holds(excavator, stop, text_of):
    text = text_of(quote_pdf(excavator, stop, UNTIL))
    unpriced = [job for job in stop.jobs if job.price is None]
    assert unpriced
    assert "Not in this price, to be quoted apart" in text
    assert "12 Dec 2026" in text
    assert "not a licence to work" in text


def test_a_quote_has_a_number_of_machine_and_day(excavator, stop, text_of):
    """Our own scheme: short name, day, and which one of that day where somebody keeps count."""
    day = f"{excavator.as_of:%Y%m%d}"
    assert f"number {excavator.machine.machine_id}-{day}" in text_of(quote_pdf(excavator, stop, UNTIL))
    text = text_of(quote_pdf(excavator, stop, UNTIL, quoted_by="Invented Works", quoted_for="A customer", nth="3"))
    assert f"number {excavator.machine.machine_id}-{day}-3" in text
    assert "Invented Works" in text


def test_a_quote_holds_nothing_of_the_yards_own_reckoning(excavator, stop, text_of):
    text = text_of(quote_pdf(excavator, stop, UNTIL)).lower()
    for word in ("labour per hour", "chance", "standing", "half worn", "as new", "labour 6 h"):
        assert word not in text


def test_a_quote_needs_a_price_and_a_day_to_come(excavator, all_stop, stop):
    with pytest.raises(NotAllowedError, match="price"):
        quote_pdf(all_stop, next_stop(all_stop, LIST), UNTIL)
    with pytest.raises(NotAllowedError, match="valid until"):
        quote_pdf(excavator, stop, excavator.as_of - dt.timedelta(days=1))


@pytest.mark.parametrize("units", list(UnitSystem))
@pytest.mark.parametrize("name", ["excavator", "mini", "long_machine"])
def test_a_quote_is_one_page_and_the_typesetter_has_nothing_to_remark(request, name, units):
    verdict = request.getfixturevalue(name)
    everything = tuple(replace(job, call=Call.BOOK) for job in verdict.jobs)
    stop = next_stop(replace(verdict, jobs=everything), LIST)
    assert pages(quote_pdf(verdict, stop, UNTIL, units)) == 1
    assert press("quote.typ", quote_story(verdict, stop, UNTIL, units), verdict.as_of)[1] == ()
    assert press("work-order.typ", work_order_story(verdict, stop, units), verdict.as_of)[1] == ()


def test_thirty_jobs_still_fit_one_page(excavator):
    priced = replace(excavator.jobs[0], price=Money(1.0, 2.0, 3.0, "EUR"), call=Call.BOOK)
    many = replace(excavator, jobs=(priced,) * 30)
    assert pages(quote_pdf(many, next_stop(many, LIST), UNTIL)) == 1


def test_a_work_order_puts_every_caution_before_the_first_job(excavator, stop, text_of):
    text = text_of(work_order_pdf(excavator, stop))
    first_job = text.index("To have there")
    for caution in (Caution.UNSAFE_MACHINE, *stop.order.cautions):
        assert " ".join(caution_text(caution).split()) in text[:first_job]


def test_a_work_order_without_a_stop_does_not_forbid_work(mini, text_of):
    stop = next_stop(mini, LIST)
    assert stop is not None
    assert "Do not work this machine" not in text_of(work_order_pdf(mini, stop))


def test_a_work_order_has_a_box_for_every_place_and_its_last_reading(excavator, stop):
    told = work_order_story(excavator, stop, UnitSystem.METRIC)
    for job, shown in zip(stop.jobs, told["jobs"], strict=True):
        assert len([row for row in shown["rows"] if row["place"]]) == len(job.places)
    turn = next(shown for shown in told["jobs"] if shown["title"].startswith("Turn"))
    assert {row["quantity"] for row in turn["rows"]} == {"pitch per joint", "bush outside diameter, forward face"}
    assert all(row["last"] and row["limit"] for row in turn["rows"])


def test_a_reading_held_back_is_to_be_read_again(excavator):
    parts = list(excavator.parts)
    at = next(n for n, part in enumerate(parts) if part.judged and part.place.part.value == "bush")
    held = replace(parts[at].judged[0], status="held back")
    parts[at] = replace(parts[at], judged=(held,))
    verdict = replace(excavator, parts=tuple(parts))
    told = work_order_story(verdict, next_stop(verdict, LIST), UnitSystem.METRIC)
    assert "read again" in [row["last"] for job in told["jobs"] for row in job["rows"]]


def test_what_the_machine_file_does_not_say_stands_as_a_question(excavator, stop):
    told = work_order_story(excavator, stop, UnitSystem.METRIC)
    assert {line["what"] for line in told["ask"]} >= {"Fixing bolts for bottom rollers", "Joint seals"}
    assert all("look at" in line["note"] or "count them" in line["note"] for line in told["ask"])


def test_a_work_order_needs_no_prices(all_stop, text_of):
    stop = next_stop(all_stop, None)
    text = text_of(work_order_pdf(all_stop, stop))
    assert "not known: none of these jobs is on a price list" in text


def test_the_same_stop_gives_the_same_bytes(excavator, stop):
    assert quote_pdf(excavator, stop, UNTIL) == quote_pdf(excavator, stop, UNTIL)
    assert work_order_pdf(excavator, stop) == work_order_pdf(excavator, stop)


def test_markup_in_a_name_is_set_as_text(excavator, stop, text_of):
    named = replace(excavator, machine=replace(excavator.machine, name="#panic() *bold* $x$ <a> 1 < 2"))
    for pdf in (quote_pdf(named, stop, UNTIL), work_order_pdf(named, stop)):
        assert "#panic() *bold* $x$ <a> 1 < 2" in text_of(pdf)


def test_a_work_order_says_when_and_what_to_have_at_each_job(excavator, mini, stop, text_of):
    told = work_order_story(excavator, stop, UnitSystem.METRIC)
    assert told["planned"] == "before it works again"
    assert work_order_story(mini, next_stop(mini, LIST), UnitSystem.METRIC)["planned"].startswith(
        "within the next"
    )
    turn = next(job for job in told["jobs"] if job["title"].startswith("Turn"))
    assert "track press with its guard" in turn["needed"]
    assert turn["tools"] == "steel tape; calliper"  # what pitch and bush are read with in the sample
    numbers = {one["number"]: one["title"] for one in told["cautions"]}
    for job in told["jobs"]:
        assert job["cautions"]
        assert all(numbers[one["number"]] == one["title"] for one in job["cautions"])
    text = text_of(work_order_pdf(excavator, stop, by="Invented Works"))
    assert "Invented Works" in text
    for head in ("found, mm", "after, mm", "who", "when", "given to"):
        assert head in text


def test_a_turn_says_what_sag_to_set_at_its_end(excavator):
    """The chain's own job falls away where the track is opened anyway; its range must not go with it."""
    parts = tuple(
        replace(part, call=Call.BOOK, stake=Stake.SETTING, reason=written("Too slack: 47 mm, range 30 to 40 mm."))
        if part.place.part is PartKind.CHAIN and part.place.side is Side.LEFT
        else part
        for part in excavator.parts
    )
    told = work_order_story(replace(excavator, parts=parts), next_stop(excavator, LIST), UnitSystem.METRIC)
    found = {job["title"].split()[0]: job["settings"] for job in told["jobs"]}
    assert found["Turn"][0] == "Chain, left: Too slack: 47 mm, range 30 to 40 mm."
    assert "Chain, left" not in "".join(found["Turn"][1:])
    assert found["Replace"] == []


def test_the_order_says_which_sag_to_set_once_by_the_range_entered(excavator):
    """30 to 40 mm as entered for the left chain; nothing for the right one, as in a verdict stored before."""

    def entered(part):
        sag = Judged(part.place, Measurand.SAG, "setting", least_m=0.03, most_m=0.04)
        left = part.place.part is PartKind.CHAIN and part.place.side is Side.LEFT
        return replace(part, judged=(*part.judged, sag)) if left else part

    verdict = replace(excavator, parts=tuple(map(entered, excavator.parts)))
    jobs = work_order_story(verdict, next_stop(verdict, LIST), UnitSystem.METRIC)["jobs"]
    said = [one.replace(GAP, " ") for job in jobs for one in job["settings"]]
    assert said.count("Chain, left: set the sag to 30.0 mm to 40.0 mm.") == 1
    assert said.count("Chain, right: no range of sag is entered; the maker's manual has it.") <= 1
    assert len(said) == len(set(said))


@pytest.mark.parametrize("job", list(JobKind))
@pytest.mark.parametrize("part", list(PartKind))
def test_nothing_of_a_track_press_where_no_track_is_opened(excavator, job, part):
    """What is to be had there follows the cautions: a press only where pins are pressed, jacks only where it is raised."""
    needed = " ".join(needed_for(job, part, excavator.gear))
    cautions = cautions_of(job, part, excavator.gear)
    assert ("track press" in needed) == (Caution.PRESSED_PINS in cautions)
    assert ("jacks" in needed) == (Caution.RAISED_MACHINE in cautions)


def test_where_a_chain_is_cleaned_no_size_is_asked_for(excavator):
    cleaned = replace(excavator.jobs[-1], kind=JobKind.CLEAN_OUT, call=Call.BOOK)
    verdict = replace(excavator, jobs=(cleaned,))
    (told,) = work_order_story(verdict, next_stop(verdict, LIST), UnitSystem.METRIC)["jobs"]
    assert [row["quantity"] for row in told["rows"]] == [""] * len(cleaned.places)
    assert told["tools"] == ""
