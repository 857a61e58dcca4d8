"""`python -m pitchline.desk make_views`: the tables of the yard as views of its database."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from pitchline.desk.tables.sql_views import drop_views, make_views
from pitchline.words import in_english, translated


class Command(BaseCommand):
    """Makes the views, or takes them out again; an upgrade makes them anew where they are."""

    help = in_english("Make views of the yard's tables in its database, for programs that read it themselves.")

    def add_arguments(self, parser: CommandParser) -> None:
        """In or out."""
        parser.add_argument("--drop", action="store_true", help=translated("take them out again"))

    def handle(self, *args: Any, **options: Any) -> None:
        """Make them and say their names, or take them out."""
        if options["drop"]:
            drop_views()
            return
        for name in make_views():
            self.stdout.write(name)
