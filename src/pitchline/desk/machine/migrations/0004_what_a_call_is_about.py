"""A machine's row says what its call is about, and how much of it was looked at."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("machine", "0003_due_said_in_full"),
    ]

    operations = [
        migrations.AddField(
            "machine", "stake", models.CharField(blank=True, default="", max_length=12), preserve_default=False
        ),
        migrations.AddField("machine", "looked_at", models.PositiveSmallIntegerField(null=True)),
        migrations.AddField("machine", "looked_of", models.PositiveSmallIntegerField(null=True)),
        migrations.RemoveIndex("machine", "machine_tally"),
        migrations.AddIndex(
            "machine",
            models.Index(
                fields=[
                    "business",
                    "archived_at",
                    "call",
                    "currency",
                    "to_judge",
                    "money_usual",
                    "looked_at",
                    "looked_of",
                ],
                name="machine_tally",
            ),
        ),
    ]
