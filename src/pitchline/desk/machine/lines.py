"""Wear lines as a page shows them: each limit with a small curve from size to life used, and what was learned beside it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from django.utils.html import format_html
from django.utils.safestring import SafeString

from pitchline.outlook.learned import Learned, kind_word
from pitchline.outlook.learned_limit import LearnedLimit, as_size
from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import UnitSystem, show_length
from pitchline.wear.line import wear_line
from pitchline.words import say, translated
from pitchline.words.labels import label, quantity, singular

WIDE, HIGH, STEPS = 132, 48, 25


@dataclass(frozen=True, slots=True)
class FileLine:
    """One wear line.

    Parameters
    ----------
    what, shape : str
        Quantity and part, and how the line runs.
    new, limit : str
        Sizes in the yard's units; the limit empty where none is entered.
    curve : SafeString
        The small drawing; empty where there is no limit.
    learned : str
        What the yard really runs it down to, in words; empty where nothing was learned.
    """

    what: str
    shape: str
    new: str
    limit: str
    curve: SafeString
    learned: str


def lines_of(dossier: Dossier, learned: Learned | None, units: UnitSystem) -> tuple[FileLine, ...]:
    """Every wear line entered."""
    known = learned.limits if learned is not None else {}
    return tuple(_line(limit, known, units) for limit in dossier.limits)


def _line(limit: Limit, known: Mapping[str, LearnedLimit], units: UnitSystem) -> FileLine:
    what = f"{quantity(limit.measurand)}, {singular(limit.part)}"
    new = show_length(limit.new_m, units)
    shape = label(limit.shape)
    if limit.limit_m is None:
        return FileLine(what, shape, new, "", SafeString(""), "")
    end = show_length(limit.limit_m, units)
    end = translated("{size}, assumed").format(size=end) if limit.assumed else end
    try:
        curve = _curve(
            limit, translated("{what}: life used 0 at {new}, 1 at {end}").format(what=what, new=new, end=end)
        )
    except NotAllowedError:
        curve = SafeString("")
    return FileLine(what, shape, new, end, curve, _learned(limit, known, units))


def _curve(limit: Limit, told: str) -> SafeString:
    """Life used upwards, size from new to limit across."""
    line = wear_line(limit)
    sizes_m = np.linspace(limit.new_m, line.limit_m, STEPS)
    life = np.clip(line.life_used(sizes_m), 0, 1)
    spots = zip(np.linspace(2, WIDE - 2, STEPS).tolist(), (HIGH - 4 - life * (HIGH - 8)).tolist(), strict=True)
    way = "L".join(f"{x:.0f} {y:.1f}" for x, y in spots)
    return format_html(
        '<svg class="wear-line" viewBox="0 0 {} {}" width="{}" height="{}" role="img" aria-label="{}">'
        '<path class="axis" d="M2 2V{}H{}"/><path class="way" d="M{}"/></svg>',
        WIDE, HIGH, WIDE, HIGH, told, HIGH - 4, WIDE - 2, way,
    )  # fmt: skip


def _learned(limit: Limit, known: Mapping[str, LearnedLimit], units: UnitSystem) -> str:
    found = known.get(kind_word(limit.part.value, limit.measurand.value))
    if found is None:
        return ""
    size = as_size(wear_line(limit), found)
    if size is None:
        return say(found.said)
    ends = translated("{from_m} to {to_m}").format(
        from_m=show_length(size.from_m, units), to_m=show_length(size.to_m, units)
    )
    return translated("taken off at {typical_m} (8 in 10: {ends}); {said}").format(
        typical_m=show_length(size.typical_m, units), ends=ends, said=say(found.said)
    )
