"""The day something carried over was last seen stands in its column alone: notes lose the sentence the desk wrote into them."""

import re
from typing import Any

from django.db import migrations

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_PROSE = re.compile(
    rf"(?:^|; )last seen \d{{1,2}} (?:{'|'.join(_MONTHS)}) \d{{4}}, not looked over since\Z", re.ASCII
)


def take_out(apps: Any, editor: Any) -> None:
    """Of lines with a day; what a person wrote on others stays."""
    rows = apps.get_model("walkround", "SeenRow").objects.exclude(last_seen_on=None)
    for row in rows.filter(note__endswith="not looked over since").iterator():
        row.note = _PROSE.sub("", row.note)
        row.save(update_fields=["note"])


def put_in(apps: Any, editor: Any) -> None:
    """As it stood before, where there is room."""
    for row in apps.get_model("walkround", "SeenRow").objects.exclude(last_seen_on=None).iterator():
        day = row.last_seen_on
        said = f"last seen {day.day} {_MONTHS[day.month - 1]} {day.year}, not looked over since"
        whole = f"{row.note}; {said}" if row.note else said
        if len(whole) <= 5000:
            row.note = whole
            row.save(update_fields=["note"])


class Migration(migrations.Migration):
    """Notes alone."""

    dependencies = [("walkround", "0007_where_one_left_off")]
    operations = [migrations.RunPython(take_out, put_in)]
