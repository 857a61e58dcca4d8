from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("people", "0003_no_currency"),
    ]

    operations = [
        migrations.AddField(
            model_name="business",
            name="language",
            field=models.CharField(default="en", max_length=20),
        ),
    ]
