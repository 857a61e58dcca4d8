"""What this app joins when the desk starts: what happens at the sign-in is told, a new password ends the tokens of before."""

from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.db.models.signals import post_save

from pitchline.desk.api.tokens import end_tokens
from pitchline.desk.machine.page_facts import tells
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import member_as_actor
from pitchline.desk.staff.actions import depots_of, stand_back
from pitchline.desk.staff.events import HELD, IN, OUT, PASSWORD, WRONG, held_lately, record
from pitchline.desk.undo.actions import undoes


def _in(sender: object, request: Any, user: User, **_: object) -> None:
    record(IN, user.get_username(), request)


def _out(sender: object, request: Any, user: User | None, **_: object) -> None:
    if user is not None:
        record(OUT, user.get_username(), request)


def _wrong(sender: object, credentials: dict[str, Any], request: Any = None, **_: object) -> None:
    record(
        HELD if getattr(request, "axes_locked_out", False) else WRONG,
        str(credentials.get("username", "")),
        request,
    )


def _new_password(sender: object, instance: User, created: bool, **_: object) -> None:
    """Told by the raw password Django keeps while it saves one that somebody chose: hashes made anew by a sign-in have none."""
    if created or instance._password is None:  # type: ignore[attr-defined]
        return
    member = Member.objects.select_related("business", "user").filter(user=instance).first()
    if member is not None:
        end_tokens(instance, member_as_actor(member))
    record(PASSWORD, instance.get_username(), None)


user_logged_in.connect(_in, dispatch_uid="sign-in-told-")
user_logged_out.connect(_out, dispatch_uid="sign-out-told-")
user_login_failed.connect(_wrong, dispatch_uid="wrong-sign-in-told")
post_save.connect(_new_password, sender=User, dispatch_uid="new-password-told")
tells("sign-in held", held_lately)
tells("depots", depots_of)
undoes("depot", stand_back)
