"""`python -m pitchline.desk add_token NAME --purpose WHAT`: a token for a person's scripts, shown once."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from pitchline.desk.api.tokens import make_token
from pitchline.desk.people.adding import person_named
from pitchline.trade.errors import NotAllowedError
from pitchline.words.catalogue import refused


class Command(BaseCommand):
    """Makes a token; only its hash is kept, so it is printed here and nowhere else."""

    help = "Make a token with which a person's scripts use the API."

    def add_arguments(self, parser: CommandParser) -> None:
        """Whose, and what for."""
        parser.add_argument("name", help="the person, as they sign in")
        parser.add_argument("--purpose", default="scripts", help="what it is for, in a word or two")

    def handle(self, *args: Any, **options: Any) -> None:
        """Make one, or say why not."""
        try:
            user, actor = person_named(options["name"], signs_in=True)
            secret = make_token(user, actor, options["purpose"])
        except NotAllowedError as error:
            raise CommandError(refused(error.problem)) from None
        self.stderr.write("Keep it: it is not shown again.")
        self.stdout.write(secret)
