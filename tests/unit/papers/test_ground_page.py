"""Ground fit on the paper and on the screen: every figure with its range and what it rests on."""

import io
from dataclasses import replace

import pypdf
import pytest

from pitchline.ground.outcomes import Outcome
from pitchline.ground.section import GroundFigure
from pitchline.judge import judge
from pitchline.papers.ground import MOST_GROUNDS, figure_said, ground_lines, slew_of, told_ground
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.press import press
from pitchline.papers.story import story
from pitchline.trade.ground import NamedGround
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing, writing
from pitchline.words import say

MIX = (NamedGround("peat", 40), NamedGround("wet heavy clay", 40), NamedGround("hard rock", 20))


@pytest.fixture(scope="module")
def judged(dossier):
    return judge(replace(dossier, ground_mix=MIX))


@pytest.fixture(scope="module")
def printed(judged):
    return pages(judged)


@pytest.fixture(scope="module")
def usual(judged):
    """How many pages there are without it."""
    return len(pages(replace(judged, ground_fit=None)))


def pages(verdict):
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(verdict_pdf(verdict))).pages]


def test_the_paper_has_one_page_more_for_it(printed, usual):
    assert len(printed) == usual + 1
    assert printed[-1].lstrip().startswith("Ground fit:")


def test_every_row_says_what_it_rests_on(judged):
    told = told_ground(judged)
    assert len(told["figures"]) == len(Outcome)
    for line in told["figures"]:
        assert "listed: " in line["rests"]
        missing = any(cell["said"] == "no figure" for cell in line["cells"])
        assert line["reasons"] or not missing


def test_shoes_are_told_in_the_units_that_were_chosen(judged):
    """25.4 mm to the inch; no width is left in millimetres or metres."""
    metric = told_ground(judged)["shoes"]
    with writing(Writing(units=UnitSystem.IMPERIAL)):
        imperial = told_ground(judged)["shoes"]
    for mm, inches in zip(metric, imperial, strict=True):
        assert float(inches["width"].split()[0]) == pytest.approx(float(mm["width"].split()[0]) / 25.4, abs=0.051)
        assert " m" not in inches["overall"]


def test_each_remark_on_shoes_stands_once_with_the_shoes_it_is_about(judged):
    """What is true of every width on offer is not said again for each."""
    told = told_ground(judged)["shoe_remarks"]
    given = {say(remark) for one in judged.ground_fit.shoes for remark in one.remarks}
    assert len(told) == len(given) > 0
    for remark in given:
        (line,) = (one for one in told if one.endswith(": " + remark))
        about = [
            f"{one.width_m * 1e3:.0f} mm" for one in judged.ground_fit.shoes if remark in map(say, one.remarks)
        ]
        every = len(about) == len(judged.ground_fit.shoes)
        assert line.startswith("All of these shoes") if every else all(width in line for width in about)


def test_many_grounds_still_fit_one_page(dossier, usual):
    names = (
        "peat",
        "wet heavy clay",
        "hard rock",
        "gravel",
        "dry sand",
        "wet silt",
        "stiff clay",
        "ice",
        "moist loam",
        "fresh snow",
    )
    verdict = judge(replace(dossier, ground_mix=tuple(NamedGround(name, 10) for name in names)))
    assert len(pages(verdict)) == usual + 1
    told = told_ground(verdict)
    assert len(told["grounds"]) == MOST_GROUNDS
    assert all(name in told["left_out"] for name in names[MOST_GROUNDS:])


def test_nothing_runs_over_and_the_press_has_no_remark(judged):
    _, remarks = press("paper.typ", story(judged, UnitSystem.METRIC), judged.as_of)
    assert remarks == ()


def test_a_verdict_from_before_has_neither_page_nor_lines(judged):
    old = replace(judged, ground_fit=None)
    assert told_ground(old) is None
    assert ground_lines(old) == []


def test_the_stored_sweep_is_drawn_as_it_was(judged):
    sweep = slew_of(judged.ground_fit)
    assert sweep.slew_deg.tolist() == [one.slew_deg for one in judged.ground_fit.slew]
    assert sweep.left_pa[3, :3].tolist() == list(judged.ground_fit.slew[3].left_pa)


@pytest.mark.parametrize(
    ("ends", "said"),
    [
        ((0.03, 0.05, 0.08), "30 to 80 (50)"),
        ((0.05, 0.05, 0.05), "50"),
        ((-0.0001, 0.0, 0.02), "0 to 20 (0)"),
        ((-0.03, 0.01, 0.02), "−30 to 20 (10)"),
        ((None, None, None), "no figure"),
    ],
)
def test_figures_in_words(ends, said):
    figure = GroundFigure(Outcome.SINKAGE, *ends, 0.0, "", (), ("mass",), ())
    assert figure_said(figure) == said
