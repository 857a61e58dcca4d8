"""What was changed is told whole: it was cut at 300 letters without a word."""

from typing import Any

from django.db import migrations, models
from django.db.models.functions import Left


def cut_again(apps: Any, schema_editor: object) -> None:
    """What is longer than there was room for before has room again only when it is cut, as it was then."""
    apps.get_model("trail", "Change").objects.update(what=Left("what", 300))


class Migration(migrations.Migration):
    """Room for more; every row stays."""

    dependencies = [("trail", "0001_initial")]
    operations = [
        migrations.AlterField("change", "what", models.TextField()),
        migrations.RunPython(migrations.RunPython.noop, cut_again),
    ]
