"""`python -m pitchline.desk end_token NAME`: a person's tokens no longer open anything."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from pitchline.desk.api.tokens import end_tokens
from pitchline.desk.people.adding import person_named
from pitchline.trade.errors import NotAllowedError
from pitchline.words.catalogue import refused


class Command(BaseCommand):
    """Ends tokens; the rows stay, so that it can be seen that there were some."""

    help = "End the tokens of a person's scripts."

    def add_arguments(self, parser: CommandParser) -> None:
        """Whose, and which."""
        parser.add_argument("name", help="the person, as they sign in")
        parser.add_argument("--purpose", default="", help="only those made for this; all if left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """End them, and say how many."""
        try:
            user, actor = person_named(options["name"])
        except NotAllowedError as error:
            raise CommandError(refused(error.problem)) from None
        ended = end_tokens(user, actor, options["purpose"])
        self.stdout.write(f"{ended} ended.")
