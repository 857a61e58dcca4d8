import dataclasses
import datetime as dt
import json
from dataclasses import replace

import numpy as np
import pytest

from pitchline.exchange.verdict_in import readable
from pitchline.exchange.verdict_json import verdict_json
from pitchline.trade.calls import Call
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import saying
from pitchline.verdict import Dates, HoursLeft, Job, Judged, Money, PartVerdict, Verdict
from said import written


@pytest.fixture
def verdict(dossier):
    """A verdict with invented figures, to see each kind of value written."""
    first = dossier.walk_rounds[0]
    place = first.readings[0].place
    left = HoursLeft(100.0, 300.0, float("inf"), np.float64(0.25))
    dates = Dates(dt.date(2026, 6, 1), dt.date(2026, 9, 1), None)
    judged = Judged(place, Measurand.PITCH, "judged", reading=first.readings[0], value_m=0.191, to_limit=left)
    part = PartVerdict(place, Call.BOOK, written("Because."), JobKind.TURN, left, dates, (judged,), first.findings)
    job = Job(
        JobKind.TURN,
        PartKind.BUSH,
        (place,),
        Call.BOOK,
        written("Because."),
        left,
        dates,
        0.5,
        ((saying("piece.to_turn"), 49),),
        None,
        None,
        (),
        (Caution.PRESSED_PINS,),
    )
    return Verdict(
        machine=dossier.machine,
        gear=dossier.gear,
        as_of=dt.date(2026, 5, 31),
        from_service_h=np.float64(6500),
        from_reason=written("read that day"),
        call=Call.BOOK,
        headline=written("Größer als gedacht."),
        next_due=left,
        next_due_dates=dates,
        next_due_place=place,
        next_due_job=JobKind.TURN,
        money_now=Money(1.0, 2.0, 3.0, "EUR"),
        money_window=None,
        not_priced=(written("bushes"),),
        parts=(part,),
        sets=(),
        jobs=(job,),
        suspicions=(),
        remarks=(),
        walk_rounds=dossier.walk_rounds,
        ground=dossier.usual_ground,
        utilisation=dossier.utilisation,
        call_rule=dossier.call_rule,
        window_h=240.0,
        method="m",
        version="0",
    )


def test_every_field_is_there_in_order_behind_the_format(verdict):
    written = json.loads(verdict_json(verdict))
    assert list(written) == ["format", *(field.name for field in dataclasses.fields(Verdict))]
    assert written["format"] == "pitchline-verdict/2"


def test_words_days_and_lengths(verdict):
    written = json.loads(verdict_json(verdict))
    assert (written["call"], written["ground"], written["as_of"]) == ("book", "middling", "2026-05-31")
    assert written["machine"]["kind"] == "excavator"
    assert written["parts"][0]["judged"][0]["value_m"] == 0.191
    assert written["parts"][0]["place"] == {"part": "chain", "side": "left", "position": 0}
    assert written["jobs"][0]["parts_needed"] == [
        [{"code": "piece.to_turn", "values": {}, "text": "pin and bush to turn"}, 49]
    ]
    assert written["walk_rounds"][0]["readings"][0]["typed"][1]["text"] == "764,5"


def test_figures_without_bound_are_null_and_nothing_is_nan(verdict):
    def never(name):
        raise AssertionError(name)

    text = verdict_json(replace(verdict, window_h=float("nan")))
    written = json.loads(text, parse_constant=never)
    assert written["window_h"] is None
    assert written["next_due"] == {"cautious": 100.0, "middle": 300.0, "hopeful": None, "chance_now": 0.25}


def test_the_same_verdict_gives_the_same_text(verdict):
    assert verdict_json(verdict) == verdict_json(replace(verdict))
    assert "Größer" in verdict_json(verdict)


def test_kept_in_one_line_it_reads_as_it_is_written_for_reading(verdict):
    kept = verdict_json(verdict, is_compact=True)
    assert "\n" not in kept
    assert readable(kept) == readable(verdict_json(verdict)) == verdict_json(verdict)
