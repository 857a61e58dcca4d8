"""Constants that were brought in stand with those the yard learns, as proposals: nothing was judged by them."""

import hashlib
from typing import Any

from django.db import migrations


def _copy(apps: Any, schema_editor: Any) -> None:
    constants = apps.get_model("learning", "Constants")
    for file in apps.get_model("gearbook", "LearnedFile").objects.order_by("pk"):
        row = constants.objects.create(
            business_id=file.business_id,
            name=file.name,
            text=file.text,
            digest=hashlib.sha256(file.text.encode()).hexdigest(),
            learned_on=file.at.date(),
            who=file.who,
        )
        constants.objects.filter(pk=row.pk).update(at=file.at)


class Migration(migrations.Migration):
    dependencies = [
        ("gearbook", "0001_the_book_fittings_and_learned"),
        ("learning", "0001_constants"),
    ]

    operations = [
        migrations.RunPython(_copy, migrations.RunPython.noop),
        migrations.DeleteModel(name="LearnedFile"),
    ]
