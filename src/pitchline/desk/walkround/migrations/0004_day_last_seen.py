"""The day something carried over was last seen: out of the note, where it was kept in prose, into a column of its own."""

import datetime as dt
import re
from typing import Any

from django.db import migrations, models
from django.db.models import Q

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_PROSE = re.compile(rf"(?:^|; )last seen (\d{{1,2}}) ({'|'.join(_MONTHS)}) (\d{{4}}), not looked over since$")


def fill(apps: Any, editor: Any) -> None:
    """Lines the desk carried over itself, or that came whole out of a machine file; a person's own line has another writer."""
    rows = apps.get_model("walkround", "SeenRow").objects
    for row in rows.filter(
        Q(writer="carried over") | Q(writer=""), note__endswith="not looked over since"
    ).iterator():
        found = _PROSE.search(row.note)
        if found is not None:
            try:
                row.last_seen_on = dt.date(int(found[3]), _MONTHS.index(found[2]) + 1, int(found[1]))
            except ValueError:  # no day of the calendar, so no note of the desk's
                continue
            row.save(update_fields=["last_seen_on"])


class Migration(migrations.Migration):
    """A column, and what is known of it."""

    dependencies = [("walkround", "0003_bolts_on_one_piece")]
    operations = [
        migrations.AddField("seenrow", "last_seen_on", models.DateField(null=True)),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
