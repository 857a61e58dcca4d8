"""A machine that nobody has gone round yet: its running gear, and no calls."""

import datetime as dt

from pitchline import __version__
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Dossier
from pitchline.trade.saying import saying
from pitchline.verdict import METHOD, Verdict


def unjudged(dossier: Dossier, as_of: dt.date) -> Verdict:
    """A verdict without any judgement, to draw a machine from its file alone.

    Parameters
    ----------
    dossier : Dossier
        The machine as entered; walk-rounds are left out.
    as_of : datetime.date
        The day to put on it.

    Returns
    -------
    Verdict
        Without parts, so nothing is called run, book or stop.
    """
    return Verdict(
        machine=dossier.machine,
        gear=dossier.gear,
        as_of=as_of,
        from_service_h=0.0,
        from_reason=saying("age.not_gone_round"),
        call=Call.UNJUDGED,
        headline=saying("headline.not_gone_round"),
        next_due=None,
        next_due_dates=None,
        next_due_place=None,
        next_due_job=None,
        money_now=None,
        money_window=None,
        not_priced=(),
        parts=(),
        sets=(),
        jobs=(),
        suspicions=(),
        remarks=(),
        walk_rounds=(),
        ground=dossier.usual_ground,
        utilisation=dossier.utilisation,
        call_rule=dossier.call_rule,
        window_h=None,
        method=METHOD,
        version=__version__,
        looked_at=(0, len(dossier.gear.places())),
    )
