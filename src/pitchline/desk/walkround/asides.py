"""What becomes of an entry that was kept aside because somebody else had written meanwhile."""

from collections.abc import Mapping

from django.db import transaction
from django.http import Http404

from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.walkround.actions import save_lines
from pitchline.desk.walkround.form_lines import HEAD, Typed
from pitchline.desk.walkround.models import Aside
from pitchline.trade.consequences import FindingKind
from pitchline.trade.errors import Phrase, phrase
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place


def settle_aside(actor: Actor, *, aside_id: int, take: bool, writer: str) -> Aside:
    """The entry that was kept aside, settled: taken in place of what stands, or let go. Both stay in the trail."""
    aside = Aside.objects.select_related("sheet").filter(sheet__business=actor.business, pk=aside_id).first()
    if aside is None:
        raise Http404("No such entry in this yard.")
    if aside.settled:
        return aside
    if take:
        fields: Mapping[str, str] = aside.fields
        now = _version_now(aside)
        why = phrase("taken in place of the newer entry; it is {who}'s", who=aside.who)
        save_lines(actor, sheet_id=aside.sheet_id, writer=writer, lines=[Typed(aside.key, fields, now)], why=why)
    with transaction.atomic():
        Aside.objects.filter(pk=aside.pk).update(settled=True)
        told = Told(
            phrase("one of two entries, {line}", line=line_said(aside.key)),
            aside.said,
            phrase("taken") if take else phrase("dropped"),
        )
        note(actor, aside.sheet.machine_id, [told])
    return aside


def line_said(key: str) -> Phrase:
    """What a line is about, in words."""
    line = Typed(key)
    if line.key == HEAD:
        return phrase("day, hours and who")
    what = {each.value: each for each in (*FindingKind, *Measurand)}.get(line.what)
    place = Place.from_key(line.place_key).key
    if what is None:
        return phrase("{place:place}", place=place)
    if isinstance(what, Measurand):
        return phrase("{place:place}, {what:quantity}", place=place, what=what.value)
    return phrase("{place:place}, {what:finding}", place=place, what=what.value)


def _version_now(aside: Aside) -> int:
    line = Typed(aside.key)
    if line.key == HEAD:
        return aside.sheet.version
    place = Place.from_key(line.place_key)
    where = {"part": place.part.value, "side": place.side.value, "position": place.position}
    reading = aside.sheet.readingrows.filter(measurand=line.what, **where).first()
    seen = aside.sheet.seenrows.filter(kind=line.what, nth=0, **where).first()
    row = reading or seen
    return row.version if row is not None else 0
