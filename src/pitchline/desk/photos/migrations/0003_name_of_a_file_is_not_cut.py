"""A file's name is stored whole: it was cut at 120 letters without a word, its ending with it."""

from typing import Any

from django.db import migrations, models
from django.db.models.functions import Left


def cut_again(apps: Any, schema_editor: object) -> None:
    """What is longer than there was room for before has room again only when it is cut, as it was then."""
    apps.get_model("photos", "Attachment").objects.update(name=Left("name", 120))


class Migration(migrations.Migration):
    """Room for more; every row stays."""

    dependencies = [("photos", "0002_attachments")]
    operations = [
        migrations.AlterField("attachment", "name", models.CharField(max_length=200)),
        migrations.RunPython(migrations.RunPython.noop, cut_again),
    ]
