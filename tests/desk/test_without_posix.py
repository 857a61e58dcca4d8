"""An office computer: nothing of the desk needs what Windows does not have. Windows and macOS themselves are not tried here.

What Windows lacks is after the "Availability: Unix" notes of the Python 3.11 library reference; what it has in exchange
(`msvcrt.locking`, ending a process from outside) is played by what it is on Windows.
"""

import os
import re
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from beside_the_desk import Browser, is_gone
from pitchline.desk import crew
from pitchline.exchange.machine_file import machine_json

HIDDEN = '''
import sys, types
import fcntl, os, select, signal, socket
import multiprocessing.connection, multiprocessing.popen_spawn_posix, multiprocessing.resource_tracker, multiprocessing.util
import selectors, subprocess, tempfile, waitress.wasyncore
import psutil  # looks at this system by its own means; on Windows by others

# os.uname stays: this system's numpy asks for it, Windows' own does not.
real = {module: types.SimpleNamespace(**vars(module)) for module in (os, select, signal, socket)}
# The standard library does for us on this system what it does on the other by other means.
users = [sys.modules[name] for name in sys.modules if name.partition(".")[0] in ("multiprocessing", "subprocess", "selectors")]
for user in users:
    for name, kept in (("os", real[os]), ("select", real[select]), ("signal", real[signal]), ("socket", real[socket])):
        if isinstance(getattr(user, name, None), types.ModuleType):
            setattr(user, name, kept)
waitress.wasyncore.os = real[os]  # goes by os.name

UNIX = {
    os: """fork forkpty wait wait3 wait4 waitid killpg nice getpriority setpriority getuid geteuid getgid getegid getgroups setuid
        setgid setsid getsid getpgid getpgrp setpgid fchmod fchown chown lchown chroot mkfifo mknod sysconf pathconf
        sched_getaffinity sched_setaffinity sched_yield getloadavg openpty ttyname ctermid posix_spawn posix_spawnp
        posix_fadvise pread pwrite readv writev sendfile statvfs fstatvfs lockf get_blocking set_blocking register_at_fork
        WIFEXITED WEXITSTATUS WIFSIGNALED WTERMSIG WNOHANG O_CLOEXEC O_NOFOLLOW O_DIRECTORY O_NONBLOCK O_SYNC O_DSYNC""",
    signal: """SIGKILL SIGHUP SIGQUIT SIGALRM SIGCHLD SIGPIPE SIGUSR1 SIGUSR2 SIGSTOP SIGCONT alarm setitimer pause
        pthread_kill pthread_sigmask sigpending sigwait siginterrupt SIG_BLOCK SIG_UNBLOCK SIG_SETMASK""",
    socket: "AF_UNIX SO_REUSEPORT CMSG_LEN SCM_RIGHTS send_fds recv_fds sethostname if_nameindex",
    select: "poll epoll",
}
for module, names in UNIX.items():
    for name in names.split():
        if hasattr(module, name):
            delattr(module, name)
for name in ("fcntl", "resource", "termios", "tty", "pty", "pwd", "grp", "syslog", "readline", "curses"):
    sys.modules[name] = None

class Msvcrt(types.ModuleType):
    LK_NBLCK, LK_UNLCK = 2, 0

    def locking(self, file, mode, count):
        """From where the file stands; at once, or an OSError. The lock is this opening's, as it is on Windows."""
        how = {self.LK_NBLCK: (1, fcntl.F_WRLCK), self.LK_UNLCK: (0, fcntl.F_UNLCK)}[mode][1]
        wanted = struct.pack("hhqqi4x", how, os.SEEK_SET, os.lseek(file, 0, os.SEEK_CUR), count, 0)
        fcntl.fcntl(file, F_OFD_SETLK, wanted)

import struct
F_OFD_SETLK = 37  # of Linux, open(2) file descriptions: fcntl(2)
sys.modules["msvcrt"] = Msvcrt("msvcrt")
'''


SOURCE = Path(crew.__file__).parents[2]
STARTED = min(crew.processes(), 2)


@pytest.fixture
def hidden(tmp_path):
    """The environment of a process that finds nothing of Unix, and of whichever it starts."""
    (tmp_path / "hidden").mkdir()
    (tmp_path / "hidden" / "sitecustomize.py").write_text(HIDDEN, encoding="utf-8")
    env = os.environ | {"PYTHONPATH": os.pathsep.join([str(tmp_path / "hidden"), str(SOURCE)])}
    env.pop("PITCHLINE_DATABASE", None)
    return env


def started(desk):
    """The processes the desk has started for the background."""
    found = []
    for child in desk.children():
        with suppress(FileNotFoundError, ProcessLookupError):
            if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes():
                found.append(child)
    return found


def asked(env, code, *words):
    """What a piece of code prints."""
    call = [sys.executable, "-c", code, *words]
    ended = subprocess.run(call, env=env, check=True, capture_output=True, text=True, timeout=60)  # noqa: S603  ourselves
    return ended.stdout


def test_what_is_hidden_is_hidden(hidden):
    code = "import os, signal, socket; print([hasattr(*one) for one in ((os, 'fork'), (signal, 'SIGKILL'), (socket, 'AF_UNIX'))])"
    assert asked(hidden, code) == "[False, False, False]\n"
    assert asked(hidden, "import msvcrt, pitchline.desk.claims as claims; print(claims.fcntl)") == "None\n"


def test_desk_answers_judges_in_the_background_and_goes_as_a_whole(hidden, start_desk, until, dossier):
    desk = start_desk(
        env=hidden, crew_of=STARTED + 2
    )  # the one at the door for phones, and who clears up behind processes that Python starts here
    browser = Browser(desk.port)
    assert browser.bring("machine.json", machine_json(dossier)) == 302
    until(lambda: {"machines": 1, "not_judged": 0, "waiting": 0}.items() <= browser.read("/api/v1/yard").items())
    page = browser.send("GET", "/")[1]
    machine = re.search(r'href="(/machines/[0-9a-f-]{36}/)"', page)[1]
    status, page = browser.send("GET", machine)
    assert (status, page.count("<h1")) == (200, 1)
    assert dossier.machine.name in page
    before = started(desk)
    os.kill(before[0], signal.SIGKILL)
    until(lambda: len(set(started(desk)) - {before[0]}) == STARTED)
    until(lambda: browser.send("GET", machine)[0] == 200)
    children = desk.children()
    desk.process.send_signal(signal.SIGINT)
    assert desk.process.wait(60) == 0
    assert desk.process.stdout.read() == "The desk is closed.\n"
    until(lambda: all(is_gone(child) for child in children))


CLAIMS = """
import pathlib, sys
from django.conf import settings
files = {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}
folder = pathlib.Path(sys.argv[1])
settings.configure(DATA=folder, MADE_HERE=folder, DATABASES={"default": files})
from pitchline.desk.claims import claimed
with claimed(sys.argv[2]) as mine:
    print(mine, flush=True)
    if len(sys.argv) > 3:
        sys.stdin.read()
"""


def test_piece_is_claimed_by_one_process_at_a_time(hidden, tmp_path):
    call = [sys.executable, "-c", CLAIMS, str(tmp_path), "a piece", "hold"]
    ends = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen(call, env=hidden, text=True, **ends) as other:  # noqa: S603  ourselves
        assert other.stdout.readline() == "True\n"
        said = [asked(hidden, CLAIMS, str(tmp_path), what) for what in ("a piece", "another")]
        other.kill()  # without letting go
    assert said == ["False\n", "True\n"]
    assert asked(hidden, CLAIMS, str(tmp_path), "a piece") == "True\n"


def test_nothing_of_unix_is_named_anywhere_else():
    """Where the desk divides, and where it claims, each beside another way."""
    unix = {
        name
        for names in re.findall(r'"{1,3}([^"]+)"{1,3}', HIDDEN.partition("UNIX = {")[2].partition("}")[0])
        for name in names.split()
    }
    modules = re.search(r"for name in \((.+?)\):\n    sys.modules", HIDDEN)[1].replace('"', "").split(", ")
    named = re.compile(
        rf"\b(?:os|signal|socket|select)\.({'|'.join(unix)})\b|^ *(?:import|from) ({'|'.join(modules)})\b", re.M
    )
    found = {
        (path.name, one[1] or one[2])
        for path in (SOURCE / "pitchline").rglob("*.py")
        for one in named.finditer(path.read_text(encoding="utf-8"))
    }
    assert found == {
        ("claims.py", "fcntl"),
        ("claims.py", "O_CLOEXEC"),
        ("crew.py", "nice"),
        ("crew.py", "sched_getaffinity"),
        *(("crew.py", name) for name in ("pthread_sigmask", "SIG_BLOCK", "SIG_UNBLOCK")),
    }
