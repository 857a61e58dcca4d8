"""Templates are indented for whoever reads them; what is sent is not.

Indentation would make the walk-round of the largest machine 290 kB of HTML; without it, it is 205 kB.
"""

import re
from pathlib import Path

from django.apps import apps
from django.template import Origin
from django.template.loaders import filesystem
from django.template.utils import get_app_template_dirs

from pitchline.desk.spoken import spoken


def _is_a_librarys(template: Path) -> bool:
    return any(
        template.is_relative_to(app.path) for app in apps.get_app_configs() if not app.name.startswith("pitchline")
    )


class Loader(filesystem.Loader):
    """The templates of the desk and of its apps, each line without what it is indented by."""

    def get_dirs(self) -> list[str | Path]:
        """The desk's own folder, then those of the apps."""
        return [*self.engine.dirs, *get_app_template_dirs("templates")]

    def get_contents(self, origin: Origin) -> str:
        """The lines' ends stay: they are the white space between two elements, and count for messages of faults."""
        text = super().get_contents(origin)
        if _is_a_librarys(Path(origin.name)):  # it has its own marks of what is said
            return text
        return spoken(re.sub(r"\n[ \t]+", "\n", text))
