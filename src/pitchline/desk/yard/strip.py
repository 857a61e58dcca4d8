"""The yard strip: the machines of one page as a drawing, each row leading to its machine."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.safestring import SafeString

from pitchline.desk.bridge.figures import verdict_seen
from pitchline.desk.drawing import SMALL, WIDE, inline
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.picture.yard import due_first, yard_svg
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict
from pitchline.words.called import machine_called


@dataclass(frozen=True, slots=True)
class Strip:
    """One page of the yard, drawn.

    Parameters
    ----------
    wide, small : SafeString or None
        For a desk and for a phone; None where no machine of the page is judged.
    without : tuple of Machine
        Machines of the page that are not in it, because nothing could be judged.
    """

    wide: SafeString | None
    small: SafeString | None
    without: tuple[Machine, ...]


def strip_of(machines: Sequence[Machine], units: UnitSystem) -> Strip:
    """The strip of these machines: one query more, however many there are."""
    newest = Machine.objects.filter(pk__in=[one.pk for one in machines], judgement__isnull=False).values(
        "judgement"
    )
    given = {one.machine_id: one for one in Judgement.objects.filter(pk__in=newest).defer("inputs_packed")}
    without = tuple(one for one in machines if one.pk not in given)
    by_verdict = {id(verdict): (one, verdict) for one, verdict in _judged(machines, given)}
    if not by_verdict:
        return Strip(None, None, without)
    rows = due_first([verdict for _, verdict in by_verdict.values()])
    links = {}
    for number, verdict in enumerate(rows, start=1):
        machine = by_verdict[id(verdict)][0]
        links[f"machine-{number}"] = (
            reverse("machine", args=[machine.pk]),
            f"{machine.name}: {machine_called(verdict)}",
        )
    wide, small = (
        inline(yard_svg(rows, width, units, prefix=prefix), prefix, links)
        for width, prefix in ((WIDE, "yard"), (SMALL, "yardsmall"))
    )
    return Strip(wide, small, without)


def _judged(machines: Sequence[Machine], given: Mapping[uuid.UUID, Judgement]) -> list[tuple[Machine, Verdict]]:
    """Each machine with its verdict, as it was given."""
    found = []
    for one in machines:
        if one.pk in given:
            found.append((one, verdict_seen(given[one.pk])))
    return found
