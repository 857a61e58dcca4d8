"""What a machine's plan is made from."""

from dataclasses import dataclass

from pitchline.judge.machine_by_day import Known
from pitchline.money.prices import PriceList
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.settings import PlanSettings
from pitchline.stops.work import Work


@dataclass(frozen=True, slots=True)
class PlanInputs:
    """What a plan is made from.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        Hours left of each part.
    prices : PriceList or None
        The yard's list.
    work : list of Work
        What the machine asks for.
    window_h : float
        The booking window [h].
    settings : PlanSettings
        How far ahead, and at what prices.
    """

    known: Known
    outlook: MachineOutlook | None
    prices: PriceList | None
    work: list[Work]
    window_h: float
    settings: PlanSettings
