"""`pitchline tokens`: secrets with which people's programs use the desk."""

import argparse
import sys

from pitchline.cli.options import add_data
from pitchline.words import counted, in_english, translated

EXAMPLES = (
    (in_english("a token, shown this once"), "pitchline tokens add ann --purpose 'weekly list'"),
    (in_english("keep it where a program reads it"), "pitchline tokens add ann > token.txt"),
    (in_english("end those of one purpose"), "pitchline tokens end ann --purpose 'weekly list'"),
)


def add(tokens: argparse.ArgumentParser) -> None:
    """Its verbs."""
    verbs = tokens.add_subparsers(title=translated("verbs"), required=True, metavar="VERB", dest="verb")
    making = verbs.add_parser("add", help=translated("make one; it is shown once, and only its hash is kept"))
    making.add_argument("--purpose", default="scripts", metavar="WHAT", help=translated("what it is for"))
    ending = verbs.add_parser("end", help=translated("end somebody's tokens"))
    ending.add_argument(
        "--purpose", default="", metavar="WHAT", help=translated("only those made for this; all if left out")
    )
    listing = verbs.add_parser("list", help=translated("list those in use: whose, since when, what for"))
    for verb in (making, ending):
        verb.add_argument("name", metavar="NAME", help=translated("whose, as they sign in"))
    for verb in (making, ending, listing):
        add_data(verb)


def run(asked: argparse.Namespace) -> None:
    """Do it, and say what was done; the secret alone stands on standard output."""
    from pitchline.desk.serve import open_data

    open_data(asked.data)
    if asked.verb == "list":
        from pitchline.desk.api.models import Token

        for one in Token.objects.filter(ended_at=None).select_related("user"):
            print(f"{one.user.get_username()}\t{one.made_at:%Y-%m-%d}\t{one.purpose}")
        return
    from pitchline.desk.api.tokens import end_tokens, make_token
    from pitchline.desk.people.adding import person_named

    user, actor = person_named(asked.name, signs_in=asked.verb == "add")
    if asked.verb == "end":
        ended = end_tokens(user, actor, asked.purpose)
        print(counted("{n} token ended.", "{n} tokens ended.", ended).format(n=ended))
        return
    secret = make_token(user, actor, asked.purpose)
    print(translated("Keep it: it is not shown again."), file=sys.stderr)
    print(secret)
