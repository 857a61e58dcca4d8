"""How much one reading may say of what all parts share: no more than the worst that its own past and its fellows make likely.

The constants of one machine are its most likely ones, and a single reading far above all others moves them: it makes parts
unlike, wear uneven, or a change likely that nobody recorded, and each of these brings hours back. So the newest reading of each
part counts up to a bound where constants are learned, and in full where the part itself is judged.
"""

from dataclasses import replace

import numpy as np

from pitchline.outlook.constants import Priors
from pitchline.outlook.paths import FloatArray, IntArray, Paths

TIMES_PACE = 1.8
"""Times the pace so far, or its fellows', up to which a newest reading counts: two standard deviations between like parts."""
_DOUBTS, _SPREADS = 3.0, 2.0
"""Standard uncertainties of the reading on top of that bound, and of the usual pace where a part has no fellows."""


def bounded(paths: Paths, priors: Priors) -> Paths:
    """The same wear paths with the newest reading of each part bounded from above.

    Parameters
    ----------
    paths : Paths
        n parts.
    priors : Priors
        What is believed of each kind's rate, for parts without a past and without fellows.

    References
    ----------
    Bounded influence (Huber's idea, textbook); the bounds are our own, see docs/explanation/outlook.md.
    """
    read = np.flatnonzero(paths.count > 0)
    if not read.size:
        return paths
    last = paths.count[read] - 1
    by_reading = np.cumsum(paths.step_h.sum(axis=2), axis=1)
    # The pace so far carried on, 1.8 times as fast; or what its fellows do. The larger of both: a bound that cut off a true bad
    # part's reading would hide it from its fellows, which it may well foretell.
    hours_h = np.maximum(by_reading[read, last], 1.0)
    newest, doubt = paths.wear[read, last], paths.wear_u[read, last]
    pace = np.maximum(newest, 0.0) / hours_h
    before = np.maximum(last - 1, 0)
    wear_before, before_h = np.maximum(paths.wear[read, before], 0.0), np.maximum(by_reading[read, before], 1.0)
    own = wear_before * (1.0 + TIMES_PACE * (hours_h - before_h) / before_h)
    most = np.where(last > 0, own, 0.0)
    for at, others in enumerate(_fellows_pace(paths.group[read], paths.kind[read], pace, priors)):
        most[at] = max(most[at], others * hours_h[at])
    wear = paths.wear.copy()
    wear[read, last] = np.minimum(newest, most + _DOUBTS * doubt)
    return replace(paths, wear=wear)


def _fellows_pace(machine: IntArray, kind: IntArray, pace: FloatArray, priors: Priors) -> list[float]:
    """The fastest pace that each part's fellows, or else the machine's other parts, make likely [1/h]."""
    usual = np.exp(priors.log_rate)
    found = []
    for at in range(pace.size):
        other = machine == machine[at]
        other[at] = False
        alike = other & (kind == kind[at])
        times = float(np.median(pace[other] / usual[kind[other]])) if other.any() else 1.0
        likely = times * float(usual[kind[at]])
        if alike.any():
            found.append(TIMES_PACE * max(likely, float(np.median(pace[alike]))))
        else:
            found.append(likely * float(np.exp(_SPREADS * priors.log_rate_u[kind[at]])))
    return found
