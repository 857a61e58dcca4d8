"""Starting the desk: its folder made ready, its database brought up to date, its pages served."""

import importlib.util
import os
import shutil
import socket
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from pitchline.desk.folders import (
    FOLDER_ENV,
    HERE_ENV,
    KEY,
    NEW,
    data_folder,
    folder_here,
    make_folder,
    usual_folder,
)
from pitchline.desk.keeping.opening import hold, look_at, make_private, sign_in_of, with_sign_in
from pitchline.desk.loopback import is_loopback
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated, worded

_WAITING = 128
"""Connections that may wait to be answered."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where the desk listens.

    Parameters
    ----------
    host : str
        Name or number.
    port : int
        0 takes any that is free.
    """

    host: str = "127.0.0.1"
    port: int = 8321


def prepare(address: Address, folder: Path | None) -> None:
    """Nothing comes out; afterwards the folder, the database and the static files are ready for `serve`.

    Raises
    ------
    NotAllowedError
        An address others can reach, while nobody has to sign in.
    """
    login = os.environ.get("PITCHLINE_DESK_LOGIN", "") == "1"
    if not is_loopback(address.host) and not login:
        step = "Leave --host out, or set PITCHLINE_DESK_LOGIN=1 and add people first."
        raise NotAllowedError(
            "--host", address.host, "an address of this computer alone, while nobody signs in", step
        )
    if folder is None and not os.environ.get(FOLDER_ENV):
        print(_kept_in(data_folder(), usual_folder()))
    open_data(folder, alone=True)
    from django.core.management import call_command

    call_command("collectstatic", verbosity=0, interactive=False)
    if not is_loopback(address.host):
        _check_people(address)


def open_data(folder: Path | None, must_be_there: bool = False, alone: bool = False) -> None:
    """Nothing comes out; afterwards folder and database are ready for whoever reads or writes them.

    Raises
    ------
    InputError
        What is there cannot be opened, or a yard that must be there is not.
    NotAllowedError
        A server is set, and there is no driver for it; or no server, and a folder of this computer's own; or another desk is
        open on the folder, where this one is to be alone.
    """
    if folder is not None:
        os.environ[FOLDER_ENV] = str(folder.expanduser().absolute())
    kept_in = data_folder()
    if must_be_there and not (kept_in / KEY).exists():
        raise refuse(str(kept_in), "file", phrase("no yard"), "the folder of a yard", "Name it with --data.")
    look_at(kept_in)
    if os.environ.get("PITCHLINE_DATABASE") and importlib.util.find_spec("psycopg") is None:
        step = "Install it with: pip install 'pitchline[postgres]'"
        raise NotAllowedError(
            "PITCHLINE_DATABASE", "no driver for it here", "PostgreSQL with its driver psycopg", step
        )
    made_here = folder_here()
    if made_here != kept_in and not os.environ.get("PITCHLINE_DATABASE"):
        step = "Set PITCHLINE_DATABASE, or leave PITCHLINE_DESK_HERE out."
        raise NotAllowedError(HERE_ENV, made_here, "set only where a server keeps the yard", step)
    make_folder(kept_in)
    made_here.mkdir(parents=True, exist_ok=True, mode=0o700)
    for folder_of_ours in {kept_in, made_here}:
        make_private(folder_of_ours)
    if alone:
        hold(made_here)
    if must_be_there:
        with_sign_in(sign_in_of(kept_in))
    os.environ["DJANGO_SETTINGS_MODULE"] = "pitchline.desk.settings"
    import django

    django.setup()
    from django.db import DatabaseError

    from pitchline.desk.keeping.upgrading import bring_up_to_date
    from pitchline.desk.trouble import trouble_of

    try:
        bring_up_to_date()
    except DatabaseError as error:
        said = trouble_of(error)
        if not said:
            raise
        print(said, file=sys.stderr)
        raise SystemExit(2) from None
    (kept_in / NEW).unlink(missing_ok=True)


def _kept_in(folder: Path, usual: Path) -> str:
    photos_alone = bool(os.environ.get("PITCHLINE_DATABASE"))
    if folder == usual:
        text = (
            translated("Photos and documents are kept in {folder}.")
            if photos_alone
            else translated("Your yard is kept in {folder}.")
        )
        return text.format(folder=folder)
    text = (
        translated(
            "Photos and documents are kept in {folder}, as an earlier release began it; a new one would be in {usual}."
        )
        if photos_alone
        else translated(
            "Your yard is kept in {folder}, as an earlier release began it; a new one would be in {usual}."
        )
    )
    move = translated("To move it, close the desk and move the whole folder there.")
    return f"{text.format(folder=folder, usual=usual)} {move}"


def _check_people(address: Address) -> None:
    from pitchline.desk.people.models import Member

    if not Member.objects.filter(user__is_active=True).exists():
        step = "Add one with: pitchline people add NAME"
        raise NotAllowedError("--host", address.host, "a desk with at least one person who can sign in", step)


def open_demo() -> int:
    """How many machines of the demo yard were added; they are judged in the background."""
    from pitchline.desk.people.middleware import local_actor
    from pitchline.desk.yard.demo import open_demo_yard

    return len(open_demo_yard(local_actor()).added)


def serve(address: Address, browser: bool = False) -> None:
    """Serve until stopped; says the address once it can be opened, and opens it in a browser where wanted and possible."""
    from pitchline.desk import crew

    if os.environ.get("PITCHLINE_DESK_METRICS"):
        counted = folder_here() / "work" / "counted"  # a file for each process; what an earlier run counted goes
        shutil.rmtree(counted, ignore_errors=True)
        counted.mkdir(parents=True)
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = str(counted)
    listening = listen(address)
    shown = f"[{address.host}]" if ":" in address.host else address.host
    port = listening.getsockname()[1]
    crew.heed()  # whoever reads the next line may tell it to go at once
    opened = f"http://{shown}:{port}/"
    print(worded("The desk is open at {opened}  (Ctrl+C closes it)", opened=opened), flush=True)
    if browser and is_loopback(address.host) and has_screen():
        print(
            translated("Your browser shows it in a moment. Closing this window closes the desk too."), flush=True
        )
        open_browser(opened)
    with listening:
        crew.run(listening)


def has_screen() -> bool:
    """Whether somebody sits before this process, at a computer that can show them a browser."""
    if not sys.stdout.isatty() or "SSH_CONNECTION" in os.environ:
        return False
    on_its_own = sys.platform in ("win32", "darwin")
    return on_its_own or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def open_browser(opened: str) -> None:
    """Nothing comes out; the browser is started beside the desk, which waits for nothing, and Ctrl+C does not reach it."""
    call, quiet = [sys.executable, "-I", "-m", "webbrowser", "-t", opened], subprocess.DEVNULL
    started = subprocess.Popen(call, stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True)  # noqa: S603  our own address
    started.returncode = 0  # nobody waits for it, and that is no mistake to be warned of


def listen(address: Address) -> socket.socket:
    """A listening socket at an address.

    Raises
    ------
    NotAllowedError
        The address cannot be listened at.
    """
    listening = None
    try:
        family, kind, protocol, _, where = socket.getaddrinfo(
            address.host, address.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        listening = socket.socket(family, kind, protocol)
        if os.name == "posix":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(where)
        listening.listen(_WAITING)
    except OSError as error:
        if listening is not None:
            listening.close()
        step = "Choose another with --port, or close what holds it."
        raise NotAllowedError(
            "--port", f"{address.host}:{address.port}", phrase("a free address ({error})", error=error), step
        ) from None
    return listening
