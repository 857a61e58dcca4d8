"""Judging with the ground fit a machine file was given before: it rests on the file alone, and is an eighth of a judgement."""

import datetime as dt

from pitchline.desk.method import method_digest
from pitchline.desk.piece_cache import cached
from pitchline.exchange.verdict_in import ground_from_json
from pitchline.exchange.verdict_json import ground_json
from pitchline.ground.section import GroundSection
from pitchline.judge import judge as judge_anew
from pitchline.judge.ground_fit import ground_section
from pitchline.money.prices import PriceList
from pitchline.outlook.learned import Learned
from pitchline.trade.dossier import Dossier
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import way_in_force
from pitchline.verdict import Verdict


def judge(
    dossier: Dossier, prices: PriceList | None, as_of: dt.date, units: UnitSystem, learned: Learned | None = None
) -> Verdict:
    """The judgement of a machine, its section on the ground taken from what is kept where the file is the same."""
    return judge_anew(dossier, prices, as_of, units, learned=learned, ground=known_ground)


def known_ground(dossier: Dossier) -> GroundSection:
    """What `ground_section` gives, which may be lost at any time like all that is kept beside the database."""
    rests_on = (dossier.machine, dossier.gear, dossier.ground_mix, dossier.usual_ground, dossier.ground_entered)
    key = ("ground", method_digest(), repr(rests_on), repr(way_in_force()))
    kept = cached(key, lambda: {"section": ground_json(ground_section(dossier))})
    return ground_from_json(kept["section"])
