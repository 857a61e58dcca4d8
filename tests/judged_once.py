"""Judgements worked out once a process, for the tests of the desk: the same inputs give the same verdict."""

from pitchline.exchange.machine_file import machine_json
from pitchline.judge import judge
from pitchline.trade.writing import way_in_force

KNOWN = {}
"""Verdicts by all that they follow from."""


def judge_once(dossier, prices, as_of, units, **planning):
    """The real judgement, kept."""
    key = (machine_json(dossier), repr(prices), as_of, units, way_in_force(), *map(repr, planning.values()))
    if key not in KNOWN:
        KNOWN[key] = judge(dossier, prices, as_of, units, **planning)
    return KNOWN[key]
