"""The audit of a whole fleet's own history.

See docs/explanation/calibration.md.
"""

import numpy as np
from threadpoolctl import threadpool_limits

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.places import Place
from pitchline.fleet.learning import fitted_to, joined, sampled_chunks
from pitchline.fleet.progress import Report, silent
from pitchline.outlook.audit import Audit, audit
from pitchline.outlook.learned import Learned, weak
from pitchline.words import in_english

MOST_MACHINES = 1_000
"""Machines the audit looks at, at most; more of them change nothing a reader would see."""


def run_audit(source: Place, start: Learned | None = None, report: Report = silent) -> Audit:
    """How well a fleet's own walk-rounds were predicted by those before them.

    Parameters
    ----------
    source : Path or Stored
        A folder with the fleet tables, or a zip of one.
    start : Learned or None
        Constants from elsewhere to start from; None starts from typical lives alone.
    report : callable
        Told how far it has come.

    Returns
    -------
    Audit
        Per kind and overall, from at most 1,000 machines spread evenly over the fleet.

    Raises
    ------
    InputError
        With every problem of the tables.
    """
    with threadpool_limits(1), open_fleet(source) as fleet:
        chunks = sampled_chunks(fleet, MOST_MACHINES, report)
        known = weak(fleet.kinds, fleet.lives_h) if start is None else fitted_to(start, fleet.kinds, fleet.lives_h)
        report(in_english("predicting walk-rounds"), 0, 1)
        starts_h = np.concatenate([chunk.start_h for chunk in chunks])
        return audit(joined([chunk.paths for chunk in chunks]), fleet.kinds, known, starts_h)
