"""What kept plans would cost by other prices, their lay-ups where they stand."""

import uuid
from collections.abc import Collection
from functools import partial

from pitchline.desk.bridge.figures import inputs_text
from pitchline.desk.constants import judged_learned
from pitchline.desk.prices import KeptCost
from pitchline.desk.workplan.models import DecidedPlan
from pitchline.desk.workplan.question import asked_of, with_week
from pitchline.desk.workplan.stored import planned
from pitchline.exchange.machine_file import machine_from_json
from pitchline.judge.plan_by_hand import cost_of, steps_of
from pitchline.judge.whole import footing_of
from pitchline.money.prices import PriceList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import UnitSystem


def kept_costs(machines: Collection[uuid.UUID]) -> dict[uuid.UUID, KeptCost]:
    """Those of some machines that have a kept plan in force, with what it costs by other prices."""
    rows = DecidedPlan.objects.filter(machine__in=machines, put_away_at=None).select_related(
        "plan__judgement__constants"
    )
    return {
        row.machine_id: partial(_cost, row) for row in rows.defer("plan__verdict_packed", "plan__footing_packed")
    }


def _cost(row: DecidedPlan, prices: PriceList | None) -> float | None:
    """As it was worked out, for its own day, but by these prices; None where they do not price it."""
    asked, judgement = asked_of(row.plan.asked, "point"), row.plan.judgement
    if prices is None or asked.settings is None:
        return None
    dossier = with_week(machine_from_json(inputs_text(judgement), "judged"), asked.week_h)
    _, kept = planned(row)
    try:
        units, learned = UnitSystem(judgement.units), judged_learned(judgement)
        footing = footing_of(dossier, prices, asked.settings, judgement.as_of, units, learned=learned)
        return cost_of(footing, kept, steps_of(kept))
    except NotAllowedError:
        return None
