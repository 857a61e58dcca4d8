"""What is told of a change is kept with its values, to be said in the language of whoever reads it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """A column; rows of before keep their texts alone."""

    dependencies = [("trail", "0002_what_was_changed_is_not_cut")]
    operations = [migrations.AddField("change", "said", models.JSONField(default=dict))]
