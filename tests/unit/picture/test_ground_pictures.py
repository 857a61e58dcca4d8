"""Drawings of ground fit: well-formed, the same twice, told in words, figures where they belong."""

from xml.etree import ElementTree

import numpy as np
import pytest

from marks_seen import reds
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Task
from pitchline.ground.soils import GROUNDS
from pitchline.ground.spans import Basis
from pitchline.ground.standing import standing
from pitchline.ground.sweeps import slew_sweep, slip_curve
from pitchline.picture.chart import round_top
from pitchline.picture.ground_going import going_svg
from pitchline.picture.ground_slew import slew_svg
from pitchline.picture.ground_slip import slip_svg
from pitchline.picture.ground_slope import slope_svg
from pitchline.picture.ink import Tone
from pitchline.picture.png import png_bytes
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Machine, MachineKind


@pytest.fixture(scope="module")
def stands(steel_gear):
    return standing(Machine("x", "x", MachineKind.EXCAVATOR, 20_000.0), steel_gear)


def all_four(stands, tone=Tone.SYSTEM):
    loam = GROUNDS["wet sandy loam"]
    wide = stands.with_figures(Basis.LISTED, shoe_width_m=0.9)
    curves = tuple((name, slip_curve(one, loam, draws=64)) for name, one in (("600 mm", stands), ("900 mm", wide)))
    fits = tuple(ground_fit(stands, ground, draws=64) for ground in GROUNDS.values())
    return {
        "slew": slew_svg(slew_sweep(stands, Task(2000, 5), draws=64), "A machine, 2 t at 5 m", tone=tone),
        "pull": slip_svg(curves, "A machine on wet sandy loam", tone=tone),
        "going": going_svg(fits, "A machine", tone=tone),
        "slopes": slope_svg(ground_fit(stands, loam, draws=64), stands.outline, 12.0, "A machine", tone=tone),
    }


def test_drawings_are_well_formed_and_the_same_twice(stands):
    first = all_four(stands)
    assert first == all_four(stands)
    for svg in first.values():
        root = ElementTree.fromstring(svg)  # noqa: S314
        told = root.find("{http://www.w3.org/2000/svg}desc").text
        assert len(told) > 40
        assert "nan" not in svg


def test_drawings_become_png(stands):
    for svg in all_four(stands, Tone.LIGHT).values():
        assert png_bytes(svg, 0.5).startswith(b"\x89PNG")


@pytest.mark.parametrize("tone", [Tone.LIGHT, Tone.DARK])
def test_nothing_about_ground_is_marked_as_a_call_or_red(stands, tone):
    """No hatch of a call, no line of the limit, no red: what suits is told by word, weight and dash, a caution by its frame."""
    for name, svg in all_four(stands, tone).items():
        kinds = {kind for one in ElementTree.fromstring(svg).iter() for kind in (one.get("class") or "").split()}  # noqa: S314
        assert kinds.isdisjoint({"book", "stop", "limit", "a", "unjudged", "lost"}), name
        assert reds(png_bytes(svg)) == 0, name


def test_every_ground_stands_with_its_word(stands):
    svg = all_four(stands)["going"]
    for name in GROUNDS:
        assert f">{name}<" in svg
    assert svg.count(">unknown<") == 2  # rubble, floating bog


def test_slopes_carry_their_caution(stands):
    svg = all_four(stands)["slopes"]
    assert "competent person" in svg
    assert "12.0" not in svg


def test_a_tipping_load_leaves_a_gap_and_says_so(stands):
    sweep = slew_sweep(stands, Task(9000, 6), draws=64)
    assert np.isnan(sweep.left_pa[:, 1]).any()
    assert "it tips" in slew_svg(sweep, "too much")


@pytest.mark.parametrize(("figure", "end", "step"), [(140, 150, 50), (83, 100, 20), (1.0, 1.0, 0.2)])
def test_ends_of_an_axis_are_round(figure, end, step):
    assert round_top(figure) == (pytest.approx(end), pytest.approx(step))


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(NotAllowedError):
        going_svg((), "nothing")
    with pytest.raises(NotAllowedError):
        slip_svg((), "nothing")


@pytest.mark.parametrize("width", [340, 560, 1120])
def test_a_note_stands_below_the_drawing(stands, width):
    """What a drawing that stands alone rests on, inside its frame at every width."""
    loam = GROUNDS["wet sandy loam"]
    fit = ground_fit(stands, loam, draws=64)
    curve = slip_curve(stands, loam, draws=64)
    note = "Rests on listed: mass, shoe width; assumed: contact length, tested soils."
    for draw in (
        lambda note: going_svg((fit,), "A machine", width, note=note),
        lambda note: slope_svg(fit, stands.outline, 0.0, "A machine", width, note=note),
        lambda note: slip_svg((("600 mm", curve),), "A machine", width, note=note),
        lambda note: slew_svg(slew_sweep(stands, draws=64), "A machine", width, note=note),
    ):
        bare, noted = (ElementTree.fromstring(draw(one)) for one in ("", note))  # noqa: S314
        words = " ".join("".join(one.itertext()) for one in noted.iter("{http://www.w3.org/2000/svg}text"))
        assert note in words
        assert float(noted.get("height")) > float(bare.get("height"))
        last = max(float(one.get("y")) for one in noted.iter("{http://www.w3.org/2000/svg}text"))
        assert last < float(noted.get("height"))


def test_pull_beyond_what_the_ground_limits_is_not_drawn(stands):
    """Stiff dry clay would give more than the weight; the figure ends at 90 %, and so does what the drawing tells."""
    clay = GROUNDS["moist heavy clay"]
    svg = slip_svg((("600 mm", slip_curve(stands, clay, draws=64)),), "A machine")
    assert "more than 90 %" in svg
    assert "the ground is not the limit" in svg
