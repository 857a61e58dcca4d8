"""A stored plan and back: the verdict it stands in, and what its cost is reckoned from. Pure, without a query."""

import json
import zlib

from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.exchange.stop_instance import instance_from_json, instance_json
from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge.plan_by_hand import Footing
from pitchline.verdict import MachinePlan, Verdict


def packed_verdict(verdict: Verdict) -> bytes:
    """A verdict for a row."""
    return zlib.compress(verdict_json(verdict, is_compact=True).encode())


def planned(row: Plan | DecidedPlan) -> tuple[Verdict, MachinePlan]:
    """The verdict of a row, and its plan; the row is one that is done."""
    verdict = verdict_from_json(zlib.decompress(bytes(row.verdict_packed or b"")).decode(), "plan")
    if verdict.plan is None:
        raise AssertionError("a stored plan has a plan")
    return verdict, verdict.plan


def packed_footing(footing: Footing) -> bytes:
    """What a plan's cost is reckoned from, for a row."""
    whole = {"instance": json.loads(instance_json(footing.instance)), "forced": list(footing.forced)}
    return zlib.compress(json.dumps(whole).encode())


def footing_of_row(plan: Plan) -> Footing:
    """What a plan's cost is reckoned from; the row is one that is done."""
    whole = json.loads(zlib.decompress(bytes(plan.footing_packed or b"")))
    return Footing(instance_from_json(json.dumps(whole["instance"]), "plan"), tuple(whole["forced"]))
