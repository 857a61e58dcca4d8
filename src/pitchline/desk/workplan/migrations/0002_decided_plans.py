"""A plan somebody decided on is called so: "kept" meant five things."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Names alone; every row stays."""

    dependencies = [("workplan", "0001_plans_kept_plans_and_feed")]
    operations = [
        migrations.RenameModel("KeptPlan", "DecidedPlan"),
        migrations.AlterField(
            "decidedplan",
            "machine",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="decided_plans", to="machine.machine"
            ),
        ),
        migrations.AlterField(
            "decidedplan",
            "plan",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="decided", to="workplan.plan"
            ),
        ),
    ]
