"""People added from the shell."""

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Business, Member
from pitchline.desk.people.rights import OWNER
from pitchline.desk.people.who import Actor, member_as_actor
from pitchline.trade.errors import NotAllowedError


def add_person(name: str, password: str, business: str = "", role: str = OWNER) -> Member:
    """Somebody new who can sign in, for a business by its name or the desk's own.

    Raises
    ------
    NotAllowedError
        A name somebody has already or nobody can have, or a password that is guessed too easily.
    """
    try:
        validate_password(password, User(username=name))
    except ValidationError as error:
        raise NotAllowedError(
            "password", "what was typed", "another one", " ".join(map(str, error.messages))
        ) from None
    check_new_name(name)
    with transaction.atomic():
        of = Business.objects.get_or_create(name=business)[0] if business else local_actor().business
        return Member.objects.create(
            user=User.objects.create_user(name, password=password), business=of, role=role
        )


def check_new_name(name: str) -> None:
    """Nothing comes out.

    Raises
    ------
    NotAllowedError
        A name somebody has already, in whatever case, or nobody can have.
    """
    if User.objects.filter(username__iexact=name).exists():
        raise NotAllowedError("name", name, "a name nobody signs in with yet", "Choose another name.")
    try:
        User(username=name).clean_fields(exclude=["password"])
    except ValidationError as error:
        raise NotAllowedError("name", name, "a name to sign in with", " ".join(map(str, error.messages))) from None


def person_named(name: str, *, signs_in: bool = False) -> tuple[User, Actor]:
    """Somebody by the name they sign in with, where wanted only if they still can, and as whom they act.

    Raises
    ------
    NotAllowedError
        Nobody of that name.
    """
    member = Member.objects.select_related("user", "business").filter(user__username=name).first()
    if member is None or (signs_in and not member.user.is_active):
        step = "Add them first: pitchline people add NAME"
        raise NotAllowedError("name", name, "the name of somebody who signs in", step)
    return member.user, member_as_actor(member)
