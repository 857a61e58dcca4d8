"""Bearing resistance against somebody else's program, against plasticity integrated numerically, and written out once more.

Sources
- geolysis (MIT), a library for soil and foundations by other hands: Vesic's method for rectangles. It rounds each N factor to
  0.01, each shape and depth factor to 0.001 and the result to 0.1 kPa; the tolerance of each case is worked out from that.
- Prandtl's mechanism: along the fan between the active and the passive wedge the mean stress follows
  d sigma/d theta = 2 (sigma tan phi + c) (any textbook of soil plasticity; from memory); integrated here step by step.
- EN 1997-1:2004 Annex D, its factors written out a second time below, one case after the other, with the standard library.
"""

import math
import random

import pytest
from geolysis.bearing_capacity.ubc import create_ubc_4_all_soils
from scipy.integrate import solve_ivp

from pitchline.ground.bearing import bearing_factors, drained_pa, drained_slanted_pa, undrained_pa

CASES = 200


def some(seed, **ends):
    """Random cases, each a dict of figures between the ends."""
    draw = random.Random(seed)
    return [{name: draw.uniform(*pair) for name, pair in ends.items()} for _ in range(CASES)]


SOIL = {
    "cohesion": (0.0, 40.0),
    "friction": (8.0, 44.0),
    "weight": (8.0, 22.0),
    "width": (0.3, 1.2),
    "ratio": (0.1, 1.0),
    "deep": (0.0, 1.0),
}


def theirs(case):
    """The library's figure [kPa], and how far its own rounding may move it [kPa]."""
    width, deep = case["width"], case["deep"] * case["width"]
    found = create_ubc_4_all_soils(
        friction_angle=case["friction"],
        cohesion=case["cohesion"],
        moist_unit_wgt=case["weight"],
        depth=deep,
        width=width,
        length=width / case["ratio"],
        shape="rectangle",
        ubc_method="vesic",
    ).bearing_capacity_results()
    terms = (
        (case["cohesion"], found.n_c, found.s_c, found.d_c),
        (case["weight"] * deep, found.n_q, found.s_q, found.d_q),
        (0.5 * case["weight"] * width, found.n_gamma, found.s_gamma, 1.0),
    )
    # n_c and n_gamma are made from the rounded n_q: their own rounding and its share of theirs
    tangent = math.tan(math.radians(case["friction"]))
    off = (0.005 + 0.005 / tangent, 0.005, 0.005 + 0.01 * tangent)
    slack = sum(
        size * n * s * d * (more / n + 0.0021 / s + 0.0021 / d)
        for (size, n, s, d), more in zip(terms, off, strict=True)
    )
    return found.ultimate_bearing_capacity, slack + 0.05


def fan(cohesion, friction_deg):
    """Pressure that breaks weightless ground with 1 beside the strip, by stepping through the fan."""
    sine, tangent = math.sin(math.radians(friction_deg)), math.tan(math.radians(friction_deg))
    cosine = math.cos(math.radians(friction_deg))
    passive = (1.0 + cohesion * cosine) / (1.0 - sine)  # mean stress where the least is 1
    turned = solve_ivp(
        lambda _, mean: 2 * (mean * tangent + cohesion), (0.0, math.pi / 2), [passive], rtol=1e-10, atol=1e-10
    )
    mean = float(turned.y[0, -1])
    return mean * (1.0 + sine) + cohesion * cosine


@pytest.mark.parametrize("friction", [1.0, 8.0, 20.0, 30.0, 38.0, 45.0])
def test_factors_follow_from_plasticity(friction):
    """Nq alone, then Nc by what cohesion adds."""
    n_c, n_q = (float(one) for one in bearing_factors(friction))
    assert fan(0.0, friction) == pytest.approx(n_q, rel=1e-7)
    assert fan(0.7, friction) - fan(0.0, friction) == pytest.approx(0.7 * n_c, rel=1e-6)


def test_clay_without_friction_follows_from_plasticity():
    """(pi + 2) cu over a strip, with what stands beside it."""
    strip = undrained_pa(0.7, 1.0, 1e9, beside_pa=1.0).one
    assert fan(0.7, 1e-9) == pytest.approx(strip, rel=1e-6)


def annex_d(case):
    """EN 1997-1 Annex D drained, once more."""
    phi = math.radians(case["friction"])
    short, long = case["width"], case["width"] / case["ratio"]
    across, along, load = case["across"] * case["load"], case["along"] * case["load"], case["load"]
    level = math.sqrt(across**2 + along**2)
    n_q = math.e ** (math.pi * math.tan(phi)) * (1 + math.sin(phi)) / (1 - math.sin(phi))
    n_c = (n_q - 1) / math.tan(phi)
    n_g = 2 * (n_q - 1) * math.tan(phi)
    s_q, s_g = 1 + short / long * math.sin(phi), 1 - 0.3 * short / long
    s_c = (s_q * n_q - 1) / (n_q - 1)
    m_b, m_l = (2 + short / long) / (1 + short / long), (2 + long / short) / (1 + long / short)
    theta = math.atan2(across, along)
    m = m_l * math.cos(theta) ** 2 + m_b * math.sin(theta) ** 2
    left = 1 - level / (load + short * long * case["cohesion"] / math.tan(phi))
    i_q, i_g = left**m, left ** (m + 1)
    i_c = i_q - (1 - i_q) / (n_c * math.tan(phi))
    return (
        case["cohesion"] * n_c * s_c * i_c
        + case["beside"] * n_q * s_q * i_q
        + 0.5 * case["weight"] * short * n_g * s_g * i_g
    )


SLANTED = SOIL | {"beside": (0.0, 15.0), "load": (20.0, 400.0), "across": (0.0, 0.2), "along": (0.0, 0.2)}


def test_annex_d_agrees_with_a_second_writing():
    for case in some(2, **SLANTED):
        sizes = (case["width"], case["width"] / case["ratio"], case["beside"] * 1e3)
        soil = (case["cohesion"] * 1e3, case["friction"], case["weight"] * 1e3)
        load = case["load"] * 1e3
        found = drained_slanted_pa(*soil, *sizes, load, case["across"] * load, case["along"] * load).one
        assert found / 1e3 == pytest.approx(annex_d(case), rel=1e-9), case
        upright = drained_pa(*soil, *sizes).one
        assert upright / 1e3 == pytest.approx(annex_d(case | {"across": 0.0, "along": 0.0}), rel=1e-9), case


def test_annex_d_undrained_agrees_with_a_second_writing():
    for case in some(
        3, strength=(5.0, 200.0), width=(0.3, 1.2), ratio=(0.1, 1.0), beside=(0.0, 15.0), used=(0.0, 0.99)
    ):
        level = case["used"] * case["strength"]
        slant = (1 + math.sqrt(1 - level / case["strength"])) / 2
        wanted = (math.pi + 2) * case["strength"] * (1 + case["ratio"] / 5) * slant + case["beside"]
        long = case["width"] / case["ratio"]
        found = undrained_pa(case["strength"] * 1e3, case["width"], long, case["beside"] * 1e3, level * 1e3).one
        assert found / 1e3 == pytest.approx(wanted, rel=1e-9), case
