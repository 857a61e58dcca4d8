"""Judgements are of a day, and say what they rest on beside it; a machine's row says which day it was judged for."""

import hashlib
import zlib
from typing import Any

from django.db import migrations, models
from django.db.models import Q


def fill_in_footing(apps: Any, schema_editor: Any) -> None:
    """What the judgements there are rest on: all but the day, and the units that only tell it."""
    judgements = apps.get_model("machine", "Judgement").objects.select_related("prices")
    for row in judgements.only("version", "inputs_packed", "prices__digest").iterator(chunk_size=50):
        inputs = zlib.decompress(bytes(row.inputs_packed)).decode()
        told = "\n".join((row.version, "", row.prices.digest if row.prices else "", inputs))
        judgements.filter(pk=row.pk).update(footing=hashlib.sha256(told.encode()).hexdigest())


class Migration(migrations.Migration):
    dependencies = [
        ("machine", "0004_what_a_call_is_about"),
    ]

    operations = [
        migrations.AddField(
            model_name="judgement",
            name="footing",
            field=models.CharField(default="", max_length=64),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="judgement",
            name="passing",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="machine",
            name="judged_for",
            field=models.DateField(null=True),
        ),
        migrations.AddField(
            model_name="machine",
            name="carried_h",
            field=models.FloatField(null=True),
        ),
        migrations.AddIndex(
            model_name="machine",
            index=models.Index(fields=["judged_for"], condition=Q(archived_at=None), name="machine_judged_for"),
        ),
        migrations.RunPython(fill_in_footing, migrations.RunPython.noop),
    ]
