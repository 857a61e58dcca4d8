"""One machine, one story: verdict, plan, quote, order, workbook and calendar say the same of every part, job, day and amount.

Random machines come from bench/odd_machines.py; `PITCHLINE_EXAMPLES=fuzz` runs 200 of them. What is held is what a customer, a
workshop and an office hold against each other; no figure is pinned.
"""

import importlib.util
import os
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from one_story import one_story
from pitchline.demo.prices import invented_prices
from pitchline.judge import judge
from pitchline.stops.settings import PlanSettings
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import NotAllowedError

spec = importlib.util.spec_from_file_location(
    "odd_machines", Path(__file__).parents[2] / "bench" / "odd_machines.py"
)
om = importlib.util.module_from_spec(spec)
sys.modules["odd_machines"] = om
spec.loader.exec_module(om)
ANY = om.Recipe(
    odd_parts=0.05, side_changed=0.1, slips=0.02, any_tool=True, any_line=True, few_quantities=True, rounded=0.1
)

PRICES = invented_prices()
EXAMPLES = 200 if os.environ.get("PITCHLINE_EXAMPLES") == "fuzz" else 12
HORIZON_H = 3000.0


@settings(max_examples=EXAMPLES, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), rounds=st.integers(1, 3))
def test_every_random_machine_has_one_story(seed, rounds):
    dossier = om.make(np.random.default_rng(seed), ANY, rounds).dossier
    dossier = replace(dossier, utilisation=dossier.utilisation or Utilisation(20.0, 30.0, 40.0))
    try:
        verdict = judge(dossier, PRICES, planning=PlanSettings(HORIZON_H), what_ifs=False)
    except NotAllowedError as error:
        if error.problem.field != "plan":
            raise
        return  # nothing that can be planned
    one_story(verdict, PRICES)
