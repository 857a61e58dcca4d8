"""A stored verdict reads back as the same verdict."""

import io
import json
from dataclasses import replace

import pypdf
import pytest

from pitchline.demo.yard import build_yard
from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.papers.advert import advert_text
from pitchline.papers.buyer import buyer_pdf
from pitchline.papers.ground import told_section
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.stop import next_stop, planned_stops
from pitchline.papers.work_order import work_order_pdf
from pitchline.papers.workbook import workbook_xlsx
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import InputError
from pitchline.trade.ground import GROUNDS_BEFORE


@pytest.fixture(scope="module")
def verdict():
    """The demo yard's main machine, priced and with an asking price."""
    yard = build_yard()
    return judge(yard.main.with_sheet, yard.prices, asking=60_000.0)


def test_verdict_comes_back_the_same_and_writes_the_same(verdict):
    text = verdict_json(verdict)
    again = verdict_from_json(text)
    assert again == verdict
    assert verdict_json(again) == text
    assert verdict_pdf(again) == verdict_pdf(verdict)


def test_verdict_stored_before_there_was_ground_fit_still_reads(verdict):
    whole = json.loads(verdict_json(verdict))
    assert whole.pop("ground_fit")["grounds"]
    old = verdict_from_json(json.dumps(whole))
    assert old == replace(verdict, ground_fit=None)
    assert verdict_pdf(old) != verdict_pdf(verdict)


def test_verdict_stored_before_joints_taken_out_were_counted_still_reads(verdict):
    whole = json.loads(verdict_json(verdict))
    assert whole["gear"].pop("joints_out") == [0, 0]
    assert verdict_from_json(json.dumps(whole)) == verdict
    short = replace(verdict, gear=replace(verdict.gear, joints_out=(1, 0)))
    assert verdict_from_json(verdict_json(short)) == short


@pytest.mark.parametrize(("before", "now"), GROUNDS_BEFORE.items())
def test_verdict_stored_with_the_classes_of_before_still_reads(verdict, before, now):
    whole = json.loads(verdict_json(verdict)) | {"ground": before}
    assert verdict_from_json(json.dumps(whole)) == replace(verdict, ground=now)


def test_verdict_stored_when_clear_was_called_marked_still_reads(verdict):
    def stored(word):
        whole = json.loads(verdict_json(verdict))
        for seen in (*whole["parts"], *whole["walk_rounds"]):
            seen["findings"] = [finding | {"severity": word} for finding in seen["findings"]]
        return json.dumps(whole)

    before, now = stored("marked"), stored("clear")
    assert before != now
    assert verdict_from_json(before) == verdict_from_json(now)


def test_verdict_stored_when_a_permitted_error_was_a_limit_still_reads(verdict):
    text = verdict_json(verdict)
    before = text.replace('"permitted_error_m"', '"limit_m"')
    assert before != text
    assert verdict_from_json(before) == verdict


def test_verdict_stored_when_uncertain_grounds_were_doubtful_still_reads(verdict):
    whole = json.loads(verdict_json(verdict))
    before = {"uncertain": "doubtful"}
    for one in whole["ground_fit"]["grounds"]:
        one["going"] = before.get(one["going"], one["going"])
    for shoe in whole["ground_fit"]["shoes"]:
        shoe["going"] = [before.get(going, going) for going in shoe["going"]]
    assert "doubtful" in [going for shoe in whole["ground_fit"]["shoes"] for going in shoe["going"]]
    assert verdict_from_json(json.dumps(whole)) == verdict


def test_verdict_stored_when_fitted_shoes_were_called_worn_still_reads(verdict):
    whole = json.loads(verdict_json(verdict))
    for shoe in whole["ground_fit"]["shoes"]:
        shoe["worn"] = shoe.pop("fitted")
    assert verdict_from_json(json.dumps(whole)) == verdict


INPUTS_BEFORE = {
    "level_length": "contact length", "centres": "track gauge", "gravity_height": "height of the centre of gravity",
    "own_offset": "offset of the centre of gravity", "power": "engine power", "roller": "roller diameter",
    "grouser": "grouser height", "rolling": "internal resistance", "terrains": "tested soils", "shear": "shear displacement",
    "strength": "shear strength", "friction": "angle of friction", "weight": "unit weight",
    "rating_index": "rating cone index", "sliding": "friction of the surface",
    "traction": "traction as a share of the published curve", "turning_steel": "turning coefficient",
}  # fmt: skip
"""As releases up to 0.6.0 wrote them; any other had its code with spaces."""


def test_verdict_stored_when_a_ground_fit_named_its_inputs_in_english_still_reads(verdict):
    """The paper says the same of it."""

    def before(code):
        return INPUTS_BEFORE.get(code, code.replace("_", " "))

    whole = json.loads(verdict_json(verdict))
    fit = whole["ground_fit"]
    fit["shoe_kind"] = fit["shoe_kind"].replace("_", " ")
    for shoe in fit["shoes"]:
        shoe["kind"] = shoe["kind"].replace("_", " ")
    for one in fit["inputs"]:
        one["label"] = before(one.pop("name"))
    for ground in fit["grounds"]:
        for figure in ground["figures"]:
            figure |= {basis: [*map(before, figure[basis])] for basis in ("measured", "listed", "assumed")}
    assert fit["shoe_kind"] == "three grousers"
    old = verdict_from_json(json.dumps(whole)).ground_fit
    assert old.shoes == verdict.ground_fit.shoes
    assert told_section(old, 9) == told_section(verdict.ground_fit, 9)


def test_verdict_without_prices_or_outlook_comes_back_the_same(dossier):
    bare = judge(build_yard().machine(11).with_sheet)
    assert verdict_from_json(verdict_json(bare)) == bare


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole.update(format="pitchline-verdict/9"),
        lambda whole: whole.pop("machine"),
        lambda whole: whole.update(call="maybe"),
        lambda whole: whole.update(surprise=1),
        lambda whole: whole.update(as_of="yesterday"),
    ],
)
def test_text_that_is_no_verdict_is_refused(verdict, spoil):
    whole = json.loads(verdict_json(verdict))
    spoil(whole)
    with pytest.raises(InputError):
        verdict_from_json(json.dumps(whole))


@pytest.mark.parametrize("text", ["", "[]", "nonsense", "{}"])
def test_other_text_is_refused(text):
    with pytest.raises(InputError):
        verdict_from_json(text)


def texts_alone(item):
    """A verdict's JSON as it was when each sentence stood as its text alone."""
    if isinstance(item, dict):
        said = item.keys() == {"code", "values", "text"}
        return item["text"] if said else {name: texts_alone(each) for name, each in item.items()}
    return [texts_alone(each) for each in item] if isinstance(item, list) else item


def test_a_plan_and_an_offer_stored_as_texts_print_as_they_did():
    """What a plan, a bid and a doubted reading said before there were codes is said word for word."""
    yard = build_yard()
    main = yard.main.with_sheet
    verdict = judge(main, yard.prices, asking=60_000.0, planning=PlanSettings(6000.0), what_ifs=False)
    whole = texts_alone(json.loads(verdict_json(verdict)))
    assert isinstance(whole["plan"]["beside"][0]["name"], str)
    old = verdict_from_json(json.dumps(whole))
    assert old.plan != verdict.plan
    assert verdict_pdf(old) == verdict_pdf(verdict)
    assert workbook_xlsx(old, planned_stops(old, None)) == workbook_xlsx(verdict, planned_stops(verdict, None))


OLD_LACKS = (
    "looked_at", "read_on", "carried_h", "mismatches", "ground_fit", "ground_to_come", "worth", "bid", "plan", "writing"
)  # fmt: skip
"""Fields of a verdict that earlier versions did not write."""


def text_of(pdf):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def test_an_old_stored_verdict_gives_every_paper(verdict):
    """A stored verdict without what was added since: each sentence it holds prints on the colleague's paper as it was written."""
    whole = json.loads(verdict_json(verdict))
    for name in OLD_LACKS:
        whole.pop(name, None)
    for part in whole["parts"]:
        for name in ("stake", "looked_at"):
            part.pop(name, None)
    for job in whole["jobs"]:
        for name in ("stake", "along", "after", "joins", "pieces"):
            job.pop(name, None)
    whole["headline"] = "A headline as it was written then."
    whole["remarks"] = ["A remark as it was written then."]
    for number, job in enumerate(whole["jobs"]):
        job["because"] = f"Reason {number} as it was written then."
    old = verdict_from_json(json.dumps(whole))
    text = text_of(verdict_pdf(old))
    for said in ("A headline as it was written then.", "A remark as it was written then."):
        assert said in text
    for number in range(len(old.jobs)):
        assert f"Reason {number} as it was written then." in text
    assert "A headline as it was written then." in text_of(buyer_pdf(old))
    assert "A headline as it was written then." in advert_text(old)
    stop = next_stop(old, None)
    if stop is not None:
        assert "as it was written then." in text_of(work_order_pdf(old, stop))
