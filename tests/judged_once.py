"""Judgements worked out once, for the tests of the desk: the same inputs give the same verdict, and each takes up to seconds.

Once a process; once for all of them where `make unit` names a folder of this run's own, gone with it: nothing comes from a run
before, and what another method says has another key.
"""

import hashlib
import pickle
from functools import partial

from pitchline.desk.method import method_digest
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.judge.whole import footing_of
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import way_in_force
from run_folder import RUN, alone_at

_KNOWN, _WRITTEN, _TEXTS = {}, {}, {}


def judge_once(dossier, prices=None, as_of=None, units=UnitSystem.METRIC, **planning):
    """The real judgement, kept."""
    planning = {name: one for name, one in planning.items() if one is not None}  # None is what is not said
    if "learned" in planning:
        return judge(dossier, prices, as_of, units, **planning)  # the text of its tables leaves figures out
    key = key_of(dossier, prices, as_of, units, planning)
    return _once(key, partial(judge, dossier, prices, as_of, units, **planning))


def footing_once(dossier, prices, settings, as_of, units=UnitSystem.METRIC, learned=None):
    """What a plan's cost is reckoned from, kept."""
    if learned is not None:
        return footing_of(dossier, prices, settings, as_of, units, learned=learned)
    key = ("footing", *key_of(dossier, prices, as_of, units, settings))
    return _once(key, partial(footing_of, dossier, prices, settings, as_of, units))


def plan_once(dossier, prices, settings, as_of):
    """A plan and what its cost is reckoned from, kept."""
    planned = judge_once(dossier, prices, as_of, planning=settings)
    return planned, footing_once(dossier, prices, settings, as_of)


def write_once(verdict, is_compact=False):
    """The real text of a verdict, kept beside the very verdict it is of; of one that is not kept it is written each time."""
    written = _WRITTEN.get(id(verdict))
    if written is None:
        return verdict_json(verdict, is_compact)
    if is_compact not in written:
        written[is_compact] = verdict_json(verdict, is_compact)
    return written[is_compact]


def text_once(dossier):
    """The machine file of a dossier, written once for the very same one: for a test's machine it is asked for thrice."""
    if _TEXTS.get(id(dossier), (None, ""))[0] is not dossier:
        if len(_TEXTS) > 100:
            _TEXTS.clear()
        _TEXTS[id(dossier)] = dossier, machine_json(dossier)
    return _TEXTS[id(dossier)][1]


def key_of(dossier, prices, as_of, units, rest):
    """All that a judgement follows from."""
    return text_once(dossier), repr(prices), str(as_of), units.value, repr(way_in_force()), repr(rest)


def _once(key, work):
    if key not in _KNOWN:
        _KNOWN[key] = _once_a_run(key, work) if RUN else work()
        _WRITTEN[id(_KNOWN[key])] = {}
    return _KNOWN[key]


def _once_a_run(key, work):
    with alone_at(hashlib.sha256(repr((method_digest(), key)).encode()).hexdigest()) as path:
        if path.exists():
            return pickle.loads(path.read_bytes())  # noqa: S301  written by this run
        found = work()
        path.write_bytes(pickle.dumps(found))
        return found
