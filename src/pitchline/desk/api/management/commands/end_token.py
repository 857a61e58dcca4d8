"""`python -m pitchline.desk end_token NAME`: a person's tokens no longer open anything."""

from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError, CommandParser

from pitchline.desk.api.tokens import end_tokens
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import Actor


class Command(BaseCommand):
    """Ends tokens; the rows stay, so that it can be seen that there were some."""

    help = "End the tokens of a person's scripts."

    def add_arguments(self, parser: CommandParser) -> None:
        """Whose, and which."""
        parser.add_argument("name", help="the person, as they sign in")
        parser.add_argument("--purpose", default="", help="only those made for this; all if left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """End them, and say how many."""
        user = User.objects.filter(username=options["name"]).first()
        member = Member.objects.select_related("business").filter(user=user).first() if user else None
        if user is None or member is None:
            raise CommandError("There is nobody of that name.")
        ended = end_tokens(user, Actor(member.business, user.get_username(), is_person=True), options["purpose"])
        self.stdout.write(f"{ended} ended.")
