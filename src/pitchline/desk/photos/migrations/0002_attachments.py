"""A photo or document is called an attachment: "kept" meant five things."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Names alone; every row stays."""

    dependencies = [("photos", "0001_photos_and_documents")]
    operations = [
        migrations.RenameModel("Kept", "Attachment"),
        migrations.AlterField(
            "attachment",
            "machine",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="attachments", to="machine.machine"
            ),
        ),
    ]
