"""When the desk starts."""

from django.apps import AppConfig
from django.conf import settings
from django.utils import translation
from django.utils.module_loading import autodiscover_modules

from pitchline.words import counted, translated
from pitchline.words.catalogue import FOLDERS


class PeopleConfig(AppConfig):
    """The first of the desk's apps; it lets every other join what it joins."""

    name = "pitchline.desk.people"

    def ready(self) -> None:
        """Undoing, work in the background and the like know no app: each app's `joins.py` tells them what it has."""
        autodiscover_modules("joins")
        FOLDERS.append(settings.DATA / "languages")
        # What Django itself tells a person, such as "This field is required.", comes out of our catalogue; it keeps its own shut.
        translation._trans.gettext, translation._trans.ngettext = translated, counted  # type: ignore[attr-defined]
