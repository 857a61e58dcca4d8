"""What stood before: readings as they were before a correction, and the parts that stood at a place before."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from django.db.models import prefetch_related_objects

from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.bridge.sheets import place_of
from pitchline.desk.machine.queries import rows_on
from pitchline.desk.spoken import later
from pitchline.papers import words
from pitchline.trade.dossier import Dossier, Event
from pitchline.trade.parts import Place
from pitchline.trade.units import UnitSystem, show_length
from pitchline.wear.history import renewals
from pitchline.words import translated
from pitchline.words.labels import quantity, singular

_SAID = {
    Event.FITTED_NEW: later("fitted new"),
    Event.FITTED_PART_WORN: later("fitted part worn"),
    Event.TURNED: "turned",
    Event.REBUILT: "rebuilt",
}


@dataclass(frozen=True, slots=True)
class Era:
    """What stood at a place between two recorded jobs.

    Parameters
    ----------
    said : str
        How it began.
    ended : str
        When the next began; empty for what stands now.
    last : tuple of str
        The last reading of each quantity in that time.
    """

    said: str
    ended: str
    last: tuple[str, ...]


def with_former(sheets: Sequence[Sheet], place: Place) -> None:
    """Nothing comes out; afterwards the rows of a place carry what stood before their corrections: one query."""
    rows = [row for sheet in sheets for row in rows_on(sheet).readings if place_of(row) == place]
    prefetch_related_objects(rows, "former")


def eras_of(dossier: Dossier, place: Place, units: UnitSystem) -> tuple[Era, ...]:
    """What stood at a place one after the other, as recorded, newest first; empty where nothing is recorded."""
    events, eras = renewals(dossier.part_events, place), []
    for event, after in zip_longest(events, events[1:]):
        what = (
            ""
            if event.place.part is place.part
            else translated(" with the {most}").format(most=singular(event.place.part))
        )
        said = translated("{most}{what} at {service_hours}").format(
            most=_SAID[event.event], what=what, service_hours=words.service_hours(event.service_h)
        )
        ended = words.service_hours(after.service_h) if after is not None else ""
        until_h = after.service_h if after is not None else float("inf")
        eras.append(Era(said, ended, _last_read(dossier, place, (event.service_h, until_h), units)))
    return tuple(reversed(eras))


def _last_read(
    dossier: Dossier, place: Place, between_h: tuple[float, float], units: UnitSystem
) -> tuple[str, ...]:
    found: dict[str, str] = {}
    for walk in dossier.walk_rounds:
        if not between_h[0] <= walk.service_h < between_h[1]:
            continue
        for reading in walk.readings:
            if reading.place == place:
                label = quantity(reading.measurand)
                size = show_length(reading.value_m, units)
                found[label] = translated("{label} {size} at {service_hours}").format(
                    label=label, size=size, service_hours=words.service_hours(walk.service_h)
                )
    return tuple(found.values())
