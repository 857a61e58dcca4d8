"""`python -m pitchline.desk add_person NAME`: somebody who can sign in."""

import getpass
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from pitchline.desk.people.adding import add_person
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english, translated, worded
from pitchline.words.catalogue import refused


class Command(BaseCommand):
    """Adds a person; the password is asked for, or read from the first line of what is piped in."""

    help = in_english("Add a person who signs in at the desk.")

    def add_arguments(self, parser: CommandParser) -> None:
        """The name, and a business other than the desk's own."""
        parser.add_argument("name")
        parser.add_argument(
            "--business", default="", help=translated("name of the business; the desk's own if left out")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Add, or say why not."""
        piped = not sys.stdin.isatty()
        password = sys.stdin.readline().rstrip("\n") if piped else getpass.getpass("Password: ")
        try:
            member = add_person(options["name"], password, options["business"])
        except NotAllowedError as error:
            raise CommandError(refused(error.problem)) from None
        self.stdout.write(
            worded(
                "{name} can sign in for {business}.",
                name=member.user.get_username(),
                business=member.business.name,
            )
        )
