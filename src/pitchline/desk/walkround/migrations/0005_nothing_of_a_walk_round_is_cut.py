"""Who went round, which file a walk-round came from and what was kept aside are stored whole: they were cut without a word."""

from typing import Any

from django.db import migrations, models
from django.db.models.functions import Left

CUT_BEFORE = {"Sheet": {"by": 200, "source": 300}, "Aside": {"said": 300}}


def cut_again(apps: Any, schema_editor: object) -> None:
    """What is longer than there was room for before has room again only when it is cut, as it was then."""
    for (
        model,
        fields,
    ) in CUT_BEFORE.items():  # each row once: a second update in one transaction holds up ALTER TABLE
        cut = {field: Left(field, most) for field, most in fields.items()}
        apps.get_model("walkround", model).objects.update(**cut)


class Migration(migrations.Migration):
    """Room for more; every row stays."""

    dependencies = [("walkround", "0004_day_last_seen")]
    operations = [
        migrations.AlterField("aside", "said", models.TextField()),
        migrations.AlterField("sheet", "by", models.TextField(blank=True)),
        migrations.AlterField("sheet", "source", models.TextField(blank=True)),
        migrations.RunPython(migrations.RunPython.noop, cut_again),
    ]
