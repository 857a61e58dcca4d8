"""`pitchline people`: who signs in at the desk."""

import argparse
import getpass
import sys

from pitchline.cli.options import add_data
from pitchline.desk.people.rights import OWNER, ROLES
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("add somebody; the password is asked for"), "pitchline people add ann"),
    (in_english("somebody who walks round machines and sees no prices"), "pitchline people add bob --role fitter"),
    (in_english("the password from another program"), "pass show desk/ann | pitchline people add ann"),
    (in_english("who signs in"), "pitchline people list"),
)


def add(people: argparse.ArgumentParser) -> None:
    """Its verbs."""
    verbs = people.add_subparsers(title=translated("verbs"), required=True, metavar="VERB", dest="verb")
    adding = verbs.add_parser("add", help=translated("add somebody who signs in"))
    adding.add_argument("name", metavar="NAME", help=translated("what they sign in with"))
    adding.add_argument(
        "--business",
        default="",
        metavar="NAME",
        help=translated("whose yard they see; the desk's own if left out"),
    )
    adding.add_argument(
        "--role",
        choices=ROLES,
        default=OWNER,
        help=translated("what they may do: see People; an owner if left out"),
    )
    add_data(adding)
    add_data(verbs.add_parser("list", help=translated("list everybody who signs in")))


def run(asked: argparse.Namespace) -> None:
    """Do it, and say what was done."""
    from pitchline.desk.serve import open_data

    open_data(asked.data)
    if asked.verb == "list":
        _list()
        return
    from pitchline.desk.people.adding import add_person

    ask = translated("Password: ")
    password = getpass.getpass(ask) if sys.stdin.isatty() else sys.stdin.readline().rstrip("\n")
    member = add_person(asked.name, password, asked.business, asked.role)
    print(worded("{name} can sign in for {business}.", name=asked.name, business=member.business.name))


def _list() -> None:
    from pitchline.desk.people.models import Member

    for one in Member.objects.select_related("user", "business").order_by("business__name", "user__username"):
        out = "" if one.user.is_active else f"\t{translated('cannot sign in')}"
        print(f"{one.user.get_username()}\t{one.business.name}\t{one.role}{out}")
