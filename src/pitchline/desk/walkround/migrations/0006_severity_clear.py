"""How bad: what was written "marked" is "clear"."""

from typing import Any

from django.db import migrations


def _written(before: str, now: str) -> Any:
    def change(apps: Any, editor: Any) -> None:
        apps.get_model("walkround", "SeenRow").objects.filter(how_bad=before).update(how_bad=now)

    return change


class Migration(migrations.Migration):
    """A word, both ways."""

    dependencies = [("walkround", "0005_nothing_of_a_walk_round_is_cut")]
    operations = [migrations.RunPython(_written("marked", "clear"), _written("clear", "marked"))]
