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
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place
from pitchline.words import translated
from pitchline.words.labels import label


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
        why = translated("taken in place of the newer entry; it is {who}'s").format(who=aside.who)
        save_lines(actor, sheet_id=aside.sheet_id, writer=writer, lines=[Typed(aside.key, fields, now)], why=why)
    with transaction.atomic():
        Aside.objects.filter(pk=aside.pk).update(settled=True)
        told = Told(
            translated("one of two entries, {line}").format(line=line_said(aside.key)),
            aside.said,
            translated("taken") if take else translated("dropped"),
        )
        note(actor, aside.sheet.machine_id, [told])
    return aside


def line_said(key: str) -> str:
    """What a line is about, in words."""
    line = Typed(key)
    if line.key == HEAD:
        return translated("day, hours and who")
    what = {each.value: each for each in (*FindingKind, *Measurand)}.get(line.what)
    place = label(Place.from_key(line.place_key))
    return f"{place}, {label(what)}" if what is not None else place


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
