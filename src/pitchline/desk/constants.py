"""The constants the yard's machines are judged with: taken into use by a person, and those before once they are taken back."""

from functools import lru_cache

from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.bridge.machine_rows import Judgement
from pitchline.desk.people.models import Business
from pitchline.exchange.learned_file import learned_from_json
from pitchline.outlook.learned import Learned


def constants_in_force(business: Business) -> Constants | None:
    """Those used last that were not taken back; None where the yard's machines are judged from typical lives."""
    used = Constants.objects.filter(business=business, used_at__isnull=False, taken_back_at=None)
    return used.order_by("-used_at").first()


def learned_of(row: Constants | None) -> Learned | None:
    """What they say; None of none."""
    return _learned(row.text) if row is not None else None


@lru_cache(maxsize=16)  # a row never changes, and each of a yard's machines asks for it
def _learned(text: str) -> Learned:
    return learned_from_json(text, "constants")


def judged_learned(judgement: Judgement) -> Learned | None:
    """The constants a judgement was made with."""
    return learned_of(judgement.constants)
