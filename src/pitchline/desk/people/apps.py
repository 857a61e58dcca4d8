"""When the desk starts."""

from django import forms
from django.apps import AppConfig
from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import translation
from django.utils.module_loading import autodiscover_modules

from pitchline.desk.spoken import later
from pitchline.words import counted, translated
from pitchline.words.catalogue import FOLDERS


class PeopleConfig(AppConfig):
    """The first of the desk's apps; it lets every other join what it joins."""

    name = "pitchline.desk.people"

    def ready(self) -> None:
        """Undoing, work in the background and the like know no app: each app's `joins.py` tells them what it has."""
        # In the form's own words; before any form is made, for each takes them over as it is.
        forms.Field.default_error_messages["required"] = later("Nothing is entered here, and it is needed.")
        MinValueValidator.message = later("%(show_value)s is too little: %(limit_value)s at least.")
        MaxValueValidator.message = later("%(show_value)s is too much: %(limit_value)s at most.")
        autodiscover_modules("joins")
        FOLDERS.append(settings.DATA / "languages")
        # What Django itself tells a person, such as "Enter a whole number.", comes out of our catalogue; it keeps its own shut.
        translation._trans.gettext, translation._trans.ngettext = translated, counted  # type: ignore[attr-defined]
