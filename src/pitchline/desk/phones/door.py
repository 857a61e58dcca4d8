"""The process at the door for phones: it listens on the network while the door stands open, and on nothing while it is shut.

It is a process of its own, so whatever comes from the network, slow or hostile, never holds up the desk on this computer.
"""

import errno
import logging
import signal
import socket
import threading
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import DatabaseError, connection
from django.utils import timezone

from pitchline.desk.page_server import PageServer
from pitchline.desk.people.models import Business
from pitchline.desk.phones.certificates import Signed, leaf_of, paths_in, root_of
from pitchline.desk.phones.middleware import BY_THE_DOOR
from pitchline.desk.phones.models import Door
from pitchline.desk.phones.network import local_addresses, local_name, resolves
from pitchline.desk.phones.queries import the_door
from pitchline.desk.phones.trust import trust_page
from pitchline.desk.tls import context_of
from pitchline.trade.writing import PLAIN, Writing, writing
from pitchline.words import translated

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

FOLDER = "tls"
_LOOK_EVERY_S = 1.0
_AGAIN_AFTER_S = 10.0
_WAITING = 64
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Stands:
    """How the door is to stand: at which port, for which name and addresses.

    Parameters
    ----------
    port : int
        The port for phones; the page of trust has the next one.
    names, addresses : tuple of str
        What phones may call this computer.
    """

    port: int
    names: tuple[str, ...]
    addresses: tuple[str, ...]


def root_here() -> Signed:
    """The root of this desk."""
    return root_of(settings.DATA / FOLDER, timezone.now())


def wanted() -> Stands | None:
    """How the door is to stand now; None while it is shut, or there is no network to open it to."""
    door, addresses = the_door(), local_addresses()
    if not door.is_open or not addresses:
        return None
    name = local_name()
    return Stands(door.port, (name,) if name else (), addresses)


def address_of(stands: Stands) -> str:
    """The address phones are told, which they keep: by name where this network answers to it, for numbers change."""
    by_name = [name for name in stands.names if resolves(name)]
    return f"https://{(by_name or stands.addresses)[0]}:{stands.port}/"


def trust_address_of(stands: Stands) -> str:
    """The address of the page of trust, without TLS."""
    return f"http://{stands.addresses[0]}:{stands.port + 1}/"


def _look() -> Stands | None:
    try:
        return wanted()
    finally:
        connection.close()


def keep_door(application: "WSGIApplication", told: Sequence[signal.Signals] = (signal.SIGTERM,)) -> None:
    """Open and shut the door to an application as the desk's page says, until told to leave."""
    end = threading.Event()
    for number in told:
        signal.signal(number, lambda *_: end.set())
    stands = None
    while not end.is_set():
        try:
            stands = _look()
            if stands is None:
                end.wait(_LOOK_EVERY_S)
            else:
                _stand(stands, application, end)
        except (OSError, ValueError, DatabaseError) as error:  # the desk on this computer goes on without it
            _LOG.error("the door for phones cannot be opened: %s", error)
            with writing(_way()):
                _tell(_why(error, stands))
            end.wait(_AGAIN_AFTER_S)


def _why(error: Exception, stands: Stands | None) -> str:
    """Why the door cannot be opened, in words where it is known."""
    ports = {"port": stands.port, "next": stands.port + 1} if stands is not None else {}
    if ports and getattr(error, "errno", None) in (errno.EADDRINUSE, errno.EACCES):
        taken = getattr(error, "errno", None) == errno.EADDRINUSE
        said = translated("another program holds port {port} or {next}")
        return (said if taken else translated("this computer allows no program port {port} or {next}")).format(
            **ports
        )
    return getattr(error, "strerror", None) or str(error)


def _stand(stands: Stands, application: "WSGIApplication", end: threading.Event) -> None:
    """The door stands open as long as nothing about it changes."""
    folder, now = settings.MADE_HERE / FOLDER, timezone.now()
    root = root_here()
    leaf_of(folder, root, stands.names, stands.addresses, now)
    settings.ALLOWED_HOSTS = [*stands.names, *stands.addresses]  # of this process: nobody else answers here
    with _listening(stands.port) as for_phones, _listening(stands.port + 1) as for_trust:
        _tell("")
        with writing(_way()):
            page = trust_page(root, address_of(stands))
        doors = (
            PageServer(for_phones, _by_the_door(application), context_of(*paths_in(folder))),
            PageServer(for_trust, page),
        )
        answering = [threading.Thread(target=one.run, daemon=True) for one in doors]
        for thread in answering:
            thread.start()
        while not end.wait(_LOOK_EVERY_S) and _look() == stands and all(one.is_alive() for one in answering):
            pass
        for one in doors:
            one.leave()
        for thread in answering:
            thread.join(25.0)


def _by_the_door(application: "WSGIApplication") -> "WSGIApplication":
    def answer(environ: "WSGIEnvironment", start: "StartResponse") -> Iterable[bytes]:
        environ[BY_THE_DOOR] = True
        return application(environ, start)

    return answer


def _way() -> Writing:
    """How the one business here says things; where there are several, nobody's way."""
    try:
        several = Business.objects.all()[:2]
        return several[0].writing if len(several) == 1 else PLAIN
    finally:
        connection.close()


def _listening(port: int) -> socket.socket:
    return socket.create_server(("0.0.0.0", port), backlog=_WAITING)  # noqa: S104  opened on purpose, by a person, at the desk


def _tell(problem: str) -> None:
    try:
        with suppress(DatabaseError):
            Door.objects.exclude(problem=problem).update(problem=problem)
    finally:
        connection.close()
