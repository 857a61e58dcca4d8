"""A typed torque against ISO 898-1 and VDI 2230."""

import pytest

from pitchline.match.bolt_torque import BoltClass, check_torque, stress_area_m2, torque_nm
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize(
    ("thread_mm", "lead_mm", "area_mm2"), [(12, 1.75, 84.3), (16, 2.0, 157), (20, 2.5, 245), (24, 3.0, 353)]
)
def test_stress_areas_are_those_of_the_standard(thread_mm, lead_mm, area_mm2):
    """ISO 898-1, table of coarse threads (from memory); the table rounds to three digits."""
    assert stress_area_m2(thread_mm / 1e3, lead_mm / 1e3) * 1e6 == pytest.approx(area_mm2, rel=3e-3)


@pytest.mark.parametrize(
    ("thread_mm", "lead_mm", "bolt", "proof_kn"),
    [(12, 1.75, BoltClass.C8_8, 48.9), (20, 2.5, BoltClass.C10_9, 203.0), (24, 3.0, BoltClass.C12_9, 342.0)],
)
def test_proof_loads_are_those_of_the_standard(thread_mm, lead_mm, bolt, proof_kn):
    """ISO 898-1, table of proof loads (from memory)."""
    found = check_torque(200.0, thread_mm / 1e3, lead_mm / 1e3, bolt)
    assert found.proof_n / 1e3 == pytest.approx(proof_kn, rel=3e-3)


def test_torque_of_a_preload_by_hand():
    """VDI 2230's formula by hand: 150 kN (0.16 * 2.5 + 0.58 * 18.376 * 0.12 + 13 * 0.12) mm = 485.8 N m."""
    assert torque_nm(150e3, 0.020, 0.0025, 0.12, 0.026) == pytest.approx(485.8, abs=0.1)


def test_a_torque_a_published_table_names_is_plausible_and_a_slip_is_not():
    """M20 10.9: EN 1090-2's reference torque 450 N m at a factor of 0.119 on oiled threads."""
    said = {nm: check_torque(nm, 0.020, 0.0025, BoltClass.C10_9).answer for nm in (45.0, 450.0, 4500.0)}
    assert said == {45.0: "low", 450.0: "plausible", 4500.0: "high"}
    found = check_torque(450.0, 0.020, 0.0025, BoltClass.C10_9)
    assert found.preload_n[0] < 172e3 < found.preload_n[1]


def test_more_torque_is_never_less_preload_nor_a_milder_answer():
    rank = ["low", "plausible", "high"]
    found = [check_torque(float(nm), 0.016, 0.0015, BoltClass.C10_9) for nm in range(20, 900, 20)]
    answers = [rank.index(one.answer) for one in found]
    assert answers == sorted(answers)
    assert {0, 1, 2} == set(answers)
    assert [one.preload_n for one in found] == sorted(one.preload_n for one in found)


@pytest.mark.parametrize(
    "wrong", [{"typed_nm": 0.0}, {"thread_m": 0.2}, {"lead_m": 0.02}, {"typed_nm": float("nan")}]
)
def test_what_no_bolt_has_is_refused(wrong):
    asked = {"typed_nm": 300.0, "thread_m": 0.02, "lead_m": 0.0025, "bolt": BoltClass.C10_9} | wrong
    with pytest.raises(NotAllowedError):
        check_torque(**asked)
