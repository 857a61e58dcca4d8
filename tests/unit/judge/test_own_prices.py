"""Judging takes a machine's own prices, however the list comes to it. Every price is invented."""

from dataclasses import replace

from judged_once import judge_once
from pitchline.judge import judge
from pitchline.judge.whole import footing_of
from pitchline.money.machine_class import MachineClass, PricedMachine
from pitchline.stops.settings import PlanSettings
from pitchline.trade.machine import MachineKind

HEAVY, LIGHT = MachineClass(mass_from_kg=12e3), MachineClass(mass_under_kg=12e3)
MACHINE = PricedMachine(MachineKind.EXCAVATOR, 21e3)
"""As the invented excavator of the tests is priced."""


def dearer(prices, which, times):
    lines = [
        replace(
            line,
            price_low=line.price_low * times,
            price_usual=line.price_usual * times,
            price_high=line.price_high * times,
            which=which,
        )
        for line in prices.lines
    ]
    return replace(prices, lines=(*prices.lines, *lines))


def test_job_is_priced_by_the_class_the_machine_is_in_and_no_other(dossier, prices):
    """The parts cost twice as much, labour the same."""
    plain, own = judge_once(dossier, prices), judge(dossier, dearer(prices, HEAVY, 2.0))
    assert any(job.price for job in plain.jobs)
    for before, after in zip(plain.jobs, own.jobs, strict=True):
        if before.price is not None:
            work = before.labour_h * prices.labour_per_h
            assert after.price.usual == 2 * (before.price.usual - work) + work
    assert judge(dossier, dearer(prices, LIGHT, 2.0)).jobs == plain.jobs


def test_list_of_all_machines_and_the_machines_own_judge_and_plan_alike(dossier, prices):
    listed, wanted = dearer(prices, HEAVY, 2.0), PlanSettings(600.0)
    own = listed.for_machine(MACHINE)
    assert judge(dossier, listed) == judge(dossier, own)
    assert footing_of(dossier, listed, wanted) == footing_of(dossier, own, wanted)
