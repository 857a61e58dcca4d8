"""Bearing resistance over random soils and tracks, against an independent library and an independent derivation.

Sources
- geofound (MIT licence), a general-purpose library for shallow foundations: Vesic (1975), and the New Zealand verification
  method, whose factors for a strip are those of EN 1997-1 Annex D. Where formulas differ the sweep leaves them out: with depth
  the library takes dc = 1 + 0.4 D/B for any friction, and its shape factors end beyond a ratio of 10.
- EN 1997-1:2004 Annex D, written out once more here in plain floats from the digitised text; no library on hand has its
  shape factors.
"""

import math
import warnings

import numpy as np
import pytest

from pitchline.ground.bearing import drained_pa, drained_slanted_pa, undrained_pa, vesic_pa

with warnings.catch_warnings():  # the library's own source has escapes that Python warns of when it compiles them
    warnings.simplefilter("ignore")
    import geofound

CASES = 200


@pytest.fixture(scope="module")
def draws():
    """Soils and tracks: c, phi, gamma, short side, ratio, depth over the short side."""
    rng = np.random.default_rng(20)
    low, high = [0.0, 5.0, 12e3, 0.2, 1.05, 0.0], [40e3, 44.0, 21e3, 1.2, 9.5, 0.9]
    return rng.uniform(low, high, (CASES, len(low)))


def footing(cohesion, friction, weight, short, long, depth):
    soil = geofound.create_soil(phi=friction, cohesion=cohesion, unit_dry_weight=weight)
    return soil, geofound.create_foundation(length=long, width=short, depth=depth)


def test_vesic_agrees_with_the_library_at_the_surface(draws):
    for cohesion, friction, weight, short, ratio, _ in draws:
        soil, base = footing(cohesion, friction, weight, short, short * ratio, 0.0)
        theirs = geofound.capacity_vesic_1975(soil, base)
        assert vesic_pa(cohesion, friction, weight, short, short * ratio).one == pytest.approx(theirs, rel=1e-9)


def test_vesic_agrees_with_the_library_in_sand_at_depth(draws):
    for _, friction, weight, short, ratio, deep in draws:
        depth = deep * short
        soil, base = footing(0.0, friction, weight, short, short * ratio, depth)
        theirs = geofound.capacity_vesic_1975(soil, base)
        ours = vesic_pa(0.0, friction, weight, short, short * ratio, weight * depth, depth)
        assert ours.one == pytest.approx(theirs, rel=1e-9)


def test_annex_d_of_a_strip_agrees_with_the_library(draws):
    for cohesion, friction, weight, short, _, _ in draws:
        soil, base = footing(cohesion, friction, weight, short, short * 1e3, 0.0)
        theirs = geofound.capacity_nzs_vm4_2011(soil, base)
        assert drained_pa(cohesion, friction, weight, short, short * 1e9).one == pytest.approx(theirs, rel=1e-6)


def annex_d(c, phi_deg, gamma, b, length, q, v, h_b, h_l):
    """EN 1997-1 Annex D.4 once more, one step after the other."""
    phi = math.radians(phi_deg)
    nq = math.e ** (math.pi * math.tan(phi)) * math.tan(math.radians(45 + phi_deg / 2)) ** 2
    nc, ng = (nq - 1) / math.tan(phi), 2 * (nq - 1) * math.tan(phi)
    sq, sg = 1 + b / length * math.sin(phi), 1 - 0.3 * b / length
    sc = (sq * nq - 1) / (nq - 1)
    h = math.sqrt(h_b**2 + h_l**2)
    theta = math.atan2(h_b, h_l)
    m_b, m_l = (2 + b / length) / (1 + b / length), (2 + length / b) / (1 + length / b)
    m = m_l * math.cos(theta) ** 2 + m_b * math.sin(theta) ** 2
    iq = (1 - h / (v + b * length * c / math.tan(phi))) ** m
    ig = (1 - h / (v + b * length * c / math.tan(phi))) ** (m + 1)
    ic = iq - (1 - iq) / (nc * math.tan(phi))
    return c * nc * sc * ic + q * nq * sq * iq + 0.5 * gamma * b * ng * sg * ig


def test_annex_d_drained_agrees_with_a_second_derivation(draws):
    rng = np.random.default_rng(21)
    for cohesion, friction, weight, short, ratio, _ in draws:
        long, beside, load = short * ratio, rng.uniform(0, 20e3), rng.uniform(50e3, 500e3)
        across, along = rng.uniform(0, 0.2, 2) * load
        theirs = annex_d(cohesion, friction, weight, short, long, beside, load, across, along)
        ours = drained_slanted_pa(cohesion, friction, weight, short, long, beside, load, across, along).one
        if ours is None:
            assert math.hypot(across, along) >= load + short * long * cohesion / math.tan(math.radians(friction))
        else:
            assert ours == pytest.approx(theirs, rel=1e-9)
        level = annex_d(cohesion, friction, weight, short, long, beside, load, 0.0, 0.0)
        assert drained_pa(cohesion, friction, weight, short, long, beside).one == pytest.approx(level, rel=1e-9)


def test_undrained_meets_the_drained_formula_as_friction_goes():
    """As phi goes to 0, Nc goes to pi + 2 and the cohesion's shape factor to 1: the strip's c (pi + 2), by calculus."""
    strip = drained_pa(40e3, 1.0, 0.0, 0.6, 1e9).one
    assert strip == pytest.approx(undrained_pa(40e3, 0.6, 1e9).one, rel=0.05)


def test_the_published_sheet_is_wrong_where_it_differs():
    """Eq. D.1 gives ic 0.858 for H/(A' cu) = 0.4875; the sheet's 0.651 does not follow from its own inputs."""
    slant = undrained_pa(40e3, 0.6, 1e9, 0.0, 0.4875 * 40e3).one / undrained_pa(40e3, 0.6, 1e9).one
    assert slant == pytest.approx(0.858, abs=0.001)
