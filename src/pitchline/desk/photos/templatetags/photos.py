"""Photos and documents on a page of another app, through `photos/on.html`."""

import uuid

from django import template
from django.utils.safestring import SafeString

from pitchline.desk.machine.models import Machine
from pitchline.desk.photos.forms import PhotoForm
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.queries import attachments_on
from pitchline.desk.walkround.models import Sheet
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.parts import Place
from pitchline.words import label

register = template.Library()


@register.simple_tag(name="kept_of")
def attachments_of(machine: Machine, part: str = "", sheet: Sheet | uuid.UUID | str = "") -> list[Attachment]:
    """What is kept of a machine, of one part of it, or from one walk-round; one query a page."""
    known: list[Attachment] | None = getattr(machine, "_attachments_on_page", None)
    if known is None:
        known = attachments_on(machine)
        machine._attachments_on_page = known  # type: ignore[attr-defined]  # lives as long as this page
    wanted = [one for one in known if not part or one.part == part]
    sheet_id = id_of(sheet)
    return [one for one in wanted if not sheet_id or str(one.sheet_id) == sheet_id]


@register.simple_tag
def caption_box(mark: str, typed: str) -> SafeString:
    """The field for a caption, as the form reads it, with what was typed."""
    attrs: dict[str, str | bool] = {"id": mark, "aria-describedby": f"wrong-{mark}"}
    return PhotoForm(initial={"caption": typed})["caption"].as_widget(attrs=attrs)


@register.simple_tag
def new_id() -> uuid.UUID:
    """A fresh id, so that a form sent twice counts once."""
    return uuid.uuid4()


@register.filter
def id_of(sheet: Sheet | uuid.UUID | str | None) -> str:
    """The id of a walk-round, which may be given by its id; empty for none."""
    return str((sheet.pk if isinstance(sheet, Sheet) else sheet) or "")


@register.filter
def place_label(key: str) -> str:
    """A place key in words."""
    try:
        return label(Place.from_key(key)) if key else ""
    except NotAllowedError:
        return key


@register.filter
def slug_of(key: str) -> str:
    """A key as the end of an id."""
    return "".join(letter if letter.isalnum() else "-" for letter in key)
