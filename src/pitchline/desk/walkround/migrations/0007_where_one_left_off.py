"""When somebody last wrote on a sheet, and on which part."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Two columns; sheets of before do not know it."""

    dependencies = [("walkround", "0006_severity_clear")]
    operations = [
        migrations.AddField("sheet", "touched_at", models.DateTimeField(null=True)),
        migrations.AddField("sheet", "left_at", models.CharField(blank=True, default="", max_length=60)),
    ]
