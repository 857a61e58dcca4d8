"""`python -m pitchline.desk add_person NAME`: somebody who can sign in."""

import getpass
import sys
from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Business, Member


class Command(BaseCommand):
    """Adds a person; the password is asked for, or read from the first line of what is piped in."""

    help = "Add a person who signs in at the desk."

    def add_arguments(self, parser: CommandParser) -> None:
        """The name, and a business other than the desk's own."""
        parser.add_argument("name")
        parser.add_argument("--business", default="", help="name of the business; the desk's own if left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """Add, or say why not."""
        piped = not sys.stdin.isatty()
        password = sys.stdin.readline().rstrip("\n") if piped else getpass.getpass("Password: ")
        try:
            validate_password(password)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from None
        if User.objects.filter(username=options["name"]).exists():
            raise CommandError("There is somebody of that name already.")
        named = options["business"]
        with transaction.atomic():
            business = Business.objects.get_or_create(name=named)[0] if named else local_actor().business
            user = User.objects.create_user(options["name"], password=password)
            Member.objects.create(user=user, business=business)
        self.stdout.write(f"{user.username} can sign in for {business.name}.")
