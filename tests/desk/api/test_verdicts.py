"""Verdicts, plans, papers and price lists over the API."""

import datetime as dt
import json
import uuid

import pytest
from pypdf import PdfReader

from pitchline.desk.api import verdicts
from pitchline.desk.api.document import document
from pitchline.desk.bridge.figures import verdict_text
from pitchline.desk.clock import today
from pitchline.desk.machine.papers import EARLIER_NAMES, PAPERS
from pitchline.desk.yard.models import PriceFile
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.stops.settings import PlanSettings


def test_verdict_is_the_stored_text(get, machine):
    answer = get(f"/machines/{machine.pk}/verdict")
    assert answer["Content-Type"] == "application/json"
    assert answer.content.decode() == verdict_text(machine.judgement)


def test_judging_now_gives_the_same_verdict_while_nothing_changed(post, get, machine):
    rows = [post(f"/machines/{machine.pk}/verdicts").json() for _ in range(2)]
    assert {row["id"] for row in rows} == {str(machine.judgement_id)}
    assert get(f"/machines/{machine.pk}/verdicts").json()["count"] == 1
    one = get(f"/machines/{machine.pk}/verdicts/{machine.judgement_id}").json()
    assert one == rows[0]
    assert {"buyer.pdf", "colleague.pdf", "advert.txt"} <= set(one["papers"])


def test_machine_that_cannot_be_judged_says_why(post, get, db):
    key = uuid.uuid4()
    post("/machines", {"kind": "dozer", "name": "A dozer", "hours": "8150"}, key=key)
    for answer in (post(f"/machines/{key}/verdicts"), get(f"/machines/{key}/verdict")):
        assert answer.status_code == 409
        assert answer.json()["problems"][0]["value"] == "its running gear is not entered yet"
    assert get(f"/machines/{key}/file").status_code == 404
    assert get(f"/machines/{key}/sheet.pdf").status_code == 404
    assert get(f"/machines/{key}/plan", horizon_h=1000).status_code == 404


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_has_its_kind(get, post, later, bring, priced, name):
    """With a third walk-round at 96 % something is due, so that there is a stop to quote."""
    machine = bring(later(0.96))
    answer = get(f"/machines/{machine.pk}/verdicts/{machine.judgement_id}/papers/{name}")
    assert answer.status_code == 200
    assert answer["Content-Type"] == PAPERS[name][1]
    start = {"pdf": b"%PDF", "xlsx": b"PK", "ics": b"BEGIN:VCALENDAR", "json": b"{", "txt": b"Test machine"}[
        name.rpartition(".")[2]
    ]
    assert answer.content.startswith(start)


def test_paper_names_of_the_description_are_the_papers():
    told = [path for path in document()["paths"] if "/papers/" in path and "/verdicts/" in path]
    assert {path.rpartition("/")[2] for path in told} == {*PAPERS, *EARLIER_NAMES}


def test_quote_without_prices_is_refused(get, machine):
    answer = get(f"/machines/{machine.pk}/verdicts/{machine.judgement_id}/papers/quote.pdf")
    assert answer.status_code == 409
    assert answer.json()["problems"][0]["next_step"] == "Enter prices first."


def test_blank_sheet_is_a_paper_of_one_machine(get, machine, tmp_path):
    path = tmp_path / "sheet.pdf"
    path.write_bytes(get(f"/machines/{machine.pk}/sheet.pdf").content)
    assert "Test machine" in "".join(page.extract_text() for page in PdfReader(path).pages)


def test_plan_is_judges_own(get, bring, later, priced, actor):
    """The same settings, given to `judge` by hand, give the same plan: no clock decides."""
    from pitchline.desk.prices import newest_prices, prices_of

    machine = bring(later(0.8))
    answer = get(f"/machines/{machine.pk}/plan", horizon_h=600, sell_at_h=500, stop_cost=300)
    assert answer.status_code == 200
    plan = answer.json()["plan"]
    assert plan["proven"]
    settings = PlanSettings(600.0, 500.0, 300.0)
    day = dt.date.fromisoformat(answer.json()["as_of"])
    assert day == today()
    own = judge(later(0.8), prices_of(newest_prices(actor.business)), day, planning=settings, what_ifs=False)
    assert plan == json.loads(verdict_json(own))["plan"]


def test_plan_without_prices_or_with_a_sale_beyond_the_horizon_is_told(get, machine):
    assert get(f"/machines/{machine.pk}/plan", horizon_h=600).status_code == 409
    late = get(f"/machines/{machine.pk}/plan", horizon_h=600, sell_at_h=700)
    assert late.status_code == 422
    assert get(f"/machines/{machine.pk}/plan", horizon_h="NaN").status_code == 422


def test_too_much_long_work_at_once_is_told_when_to_come_back(post, get, machine, monkeypatch):
    import threading

    taken = threading.BoundedSemaphore(1)
    taken.acquire()
    monkeypatch.setattr(verdicts, "_FREE", taken)
    for answer in (post(f"/machines/{machine.pk}/verdicts"), get(f"/machines/{machine.pk}/plan", horizon_h=600)):
        assert answer.status_code == 429
        assert answer["Retry-After"] == "5"


def test_price_list_in_and_out_is_the_same_byte_for_byte(post, get, machine, priced):
    (row,) = get("/price-lists").json()["items"]
    assert row["in_force"]
    assert get(f"/price-lists/{row['id']}/content").content == priced
    again = post("/price-lists", priced, content_type="text/csv")
    assert again.status_code == 201
    assert again.json()["id"] == row["id"]
    assert (again.json()["currency"], again.json()["lines"][0]["usual"]) == ("EUR", 900.0)
    changed = post("/price-lists", priced.replace(b"900", b"910"), content_type="text/csv").json()
    assert get("/price-lists/in-force").json() == changed
    assert not get(f"/price-lists/{row['id']}").json()["in_force"]
    machine.refresh_from_db()
    assert machine.currency == "EUR"


@pytest.mark.parametrize("content", [b"nonsense", b"PK\x03\x04", b"\x00\xff", b"job,part\nturn,moon\n"])
def test_what_is_no_price_list_is_told(post, content, db):
    answer = post("/price-lists", content, content_type="text/csv")
    assert answer.status_code == 422
    assert not PriceFile.objects.exists()


def test_no_price_list_yet_is_not_found(get, db):
    assert get("/price-lists/in-force").status_code == 404
