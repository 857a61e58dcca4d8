"""The record as figures for a closer look: the readings as they are, the lines between, nothing beyond."""

import json
import re

import pytest

from pitchline.demo.yard import build_yard
from pitchline.desk.machine.closer import closer_look
from pitchline.judge import judge
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem

INCH_MM = 25.4  # exact: international yard and pound agreement, 1959


@pytest.fixture(scope="module")
def looked():
    """Bushes of the demo yard's main machine."""
    dossier = build_yard().machine(7).with_sheet
    verdict = judge(dossier)
    part = next(one for one in verdict.parts if one.place.part is PartKind.BUSH)
    judged = next(one for one in part.judged if one.measurand is Measurand.BUSH_OD_FORWARD)
    return dossier, verdict, part, judged


def line(told, label):
    return next(one["sizes"] for one in told["lines"] if one["label"] == label)


def test_readings_stand_at_the_hours_they_were_read(looked):
    dossier, verdict, part, judged = looked
    told = closer_look(verdict, part, judged, UnitSystem.METRIC)
    shown = {
        hour: size for hour, size in zip(told["hours"], line(told, "as read"), strict=True) if size is not None
    }
    read = {
        visit.service_h: reading.value_m * 1000
        for visit in dossier.walk_rounds
        for reading in visit.readings
        if reading.place == part.place and reading.measurand is judged.measurand
    }
    assert len(read) > 2
    assert shown == pytest.approx(read, abs=0.006)


def test_lines_end_where_they_end_and_keep_their_order(looked):
    _, verdict, part, judged = looked
    told = closer_look(verdict, part, judged, UnitSystem.METRIC)
    worse, middle, better = (line(told, name) for name in ("9 in 10 are better", "middle", "1 in 10 is better"))
    for low, mid, high in zip(worse, middle, better, strict=True):
        assert low is None or mid is None or low <= mid
        assert mid is None or high is None or mid <= high
    reached = max(hour for hour, size in zip(told["hours"], middle, strict=True) if size is not None)
    assert reached == pytest.approx(verdict.from_service_h + judged.to_limit.middle, abs=0.1)


def test_inches_are_millimetres_over_25_4(looked):
    _, verdict, part, judged = looked
    metric, imperial = (
        closer_look(verdict, part, judged, units) for units in (UnitSystem.METRIC, UnitSystem.IMPERIAL)
    )
    for one, other in zip(line(metric, "limit"), line(imperial, "limit"), strict=True):
        assert other == pytest.approx(one / INCH_MM, abs=0.001)


def test_page_carries_the_figures_as_data_only(client, machine):
    page = client.get(f"/machines/{machine.pk}/parts/bush/left/").content.decode()
    found = re.findall(r'<script id="(closer-[a-z-]+)" type="application/json">(.*?)</script>', page)
    assert [name for name, _ in found] == sorted(
        {name for name, _ in found}, key=[name for name, _ in found].index
    )
    assert all(json.loads(text)["id"] == name for name, text in found)
    assert found
