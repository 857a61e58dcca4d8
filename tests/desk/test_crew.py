"""The real desk in processes of its own: it answers, gets up again, and goes as a whole, however it goes."""

import os
import shutil
import signal
import socket
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from beside_the_desk import is_gone
from pitchline.desk import crew
from pitchline.desk.serve import Address, listen
from pitchline.trade.errors import NotAllowedError


def test_crew_answers_gets_up_again_and_goes_when_told(desk, until):
    children = desk.children()
    assert len(children) == 2 * crew.processes() + 1
    assert [desk.ask(path) for path in ("/alive", "/", "/no-such-page")] == [200, 200, 404]
    for child in children:
        os.kill(child, signal.SIGKILL)
    until(lambda: len(set(desk.children()) - set(children)) == len(children))
    until(lambda: desk.ask("/") == 200)
    children = desk.children()
    desk.process.send_signal(signal.SIGINT)
    assert desk.process.wait(60) == 0
    assert "The desk is closed." in desk.process.stdout.read()
    assert all(is_gone(child) for child in children)
    assert desk.ask() is None


@pytest.mark.parametrize("told", [signal.SIGINT, signal.SIGTERM])
def test_crew_that_a_shell_put_in_the_background_goes_when_told(start_desk, told):
    """A shell without job control starts what it puts there with SIGINT ignored."""
    desk = start_desk(before=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN))
    children = desk.children()
    desk.process.send_signal(told)
    assert desk.process.wait(60) == 0
    assert all(is_gone(child) for child in children)


DESK = """
import sys
from pitchline.cli import main
from pitchline.desk import crew
crew.can_divide = lambda: sys.argv[1] == "divided"
sys.exit(main(["desk", "--data", sys.argv[2], "--port", "0"]))
"""


@pytest.mark.parametrize("divided", ["divided", "alone"])
def test_desk_goes_when_told_as_soon_as_its_address_is_said(divided, tmp_path, made_ready):
    """Whoever started it reads the line and ends it: nobody may still ignore the signal then, processes or none."""
    shutil.copytree(made_ready, tmp_path, dirs_exist_ok=True)
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    with subprocess.Popen(  # noqa: S603  ourselves
        [sys.executable, "-c", DESK, divided, str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        env=env,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN),
    ) as head:
        assert "The desk is open at" in head.stdout.readline()
        head.send_signal(signal.SIGINT)
        try:
            assert head.wait(60) == 0
            assert head.stdout.read() == "The desk is closed.\n"
        finally:
            head.kill()


HANGS = """
import os, pathlib, sys, time
folder, how, divides = pathlib.Path(sys.argv[1]), sys.argv[2], sys.argv[3] == "divided"
from django.conf import settings
files = {"ENGINE": "django.db.backends.sqlite3", "NAME": folder / "desk.sqlite3"}
settings.configure(DATA=folder, MADE_HERE=folder, DATABASES={"default": files})
from pitchline.desk import crew, worker

def write(word):
    with open(folder / "log", "a") as log:
        log.write(word + chr(10))

class Invented(worker.Worker):
    name, left = "invented", ()

    def work(self):
        for what in ("first", "bad", "last"):
            if what in self.left or what in (folder / "log").read_text().split():
                continue
            with self.at(what):
                if what == "bad":
                    write("began")
                    if how == "dies":
                        os.kill(os.getpid(), 9)
                    (folder / "asleep").touch()
                    time.sleep(1e6)
                write(what)

    def gave_up(self, what, why):
        self.left = (*self.left, what)
        (folder / "asleep").unlink(missing_ok=True)
        write(f"gave up {what}: it {why}")

def work(line):
    worker._HIRED[:] = [Invented()]
    worker._HIRED[0].start()
    crew.work_in_background(0, line)

if __name__ == "__main__":
    (folder / "log").touch()
    crew._make_ready = lambda: None
    crew._clock = lambda: time.monotonic() * (1000 if (folder / "asleep").exists() else 1)  # quick only while it sleeps
    crew.can_divide = lambda: divides
    crew.heed()
    crew.Crew([work]).run()
"""


@pytest.mark.parametrize("way", ["divided", "started"])
@pytest.mark.parametrize(
    ("how", "begun", "why"),
    [
        ("hangs", 1, "took longer than 10 minutes and was ended"),
        ("dies", 3, "ended the process that was at it, again and again"),
    ],
)
def test_piece_that_never_ends_is_given_up_and_the_others_go_on(how, begun, why, way, tmp_path, until):
    """Its process is ended from outside, however deep it sleeps; what was done stays done, and nothing is done twice."""
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    (tmp_path / "hangs.py").write_text(HANGS)
    call = [sys.executable, str(tmp_path / "hangs.py"), str(tmp_path), how, way]
    with subprocess.Popen(call, env=env) as head:  # noqa: S603  ourselves
        log = tmp_path / "log"
        try:
            until(lambda: log.exists() and log.read_text().endswith("last\n"))
            head.terminate()
            head.wait(60)
        finally:
            head.kill()
    assert log.read_text().splitlines() == ["first", *["began"] * begun, f"gave up bad: it {why}", "last"]


TOLD_AT_ONCE = """
import os, signal, time
from pitchline.desk import crew
made = []
def told():
    if not made:
        print(os.getpid(), flush=True)
        os.kill(os.getpid(), signal.SIGTERM)
os.register_at_fork(after_in_child=told, after_in_parent=lambda: made.append(1))
crew._make_ready = lambda: None
crew.heed()
crew.Crew([lambda line: (print(os.getpid(), flush=True), time.sleep(600))]).run()
"""


def test_whoever_is_told_to_go_while_being_made_goes():
    """What hears the signal then is still its parent's: heard there it is lost, and the desk would wait for this one in vain."""
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    call = [sys.executable, "-c", TOLD_AT_ONCE]
    with subprocess.Popen(call, stdout=subprocess.PIPE, text=True, env=env) as head:  # noqa: S603  ourselves
        told, at_work = int(head.stdout.readline()), int(head.stdout.readline())
        head.terminate()
    assert at_work != told


SLEEPS = """
import os, time
from pitchline.desk import crew

def sleep(line):
    print(os.getpid(), flush=True)
    time.sleep(600)

if __name__ == "__main__":
    crew._make_ready, crew.can_divide = lambda: None, lambda: False
    crew.heed()
    crew.Crew([sleep]).run()
"""


@pytest.mark.parametrize("told", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_whoever_was_started_goes_with_the_head(told, tmp_path, until):
    (tmp_path / "sleeps.py").write_text(SLEEPS)
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    call = [sys.executable, str(tmp_path / "sleeps.py")]
    with subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=env) as head:  # noqa: S603
        asleep = int(head.stdout.readline())
        head.send_signal(told)
        head.wait(60)
    until(lambda: is_gone(asleep))


def test_crew_goes_when_its_head_is_killed(desk, until):
    children = desk.children()
    desk.process.kill()
    desk.process.wait(60)
    until(lambda: all(is_gone(child) for child in children))
    assert desk.ask() is None


def test_background_stands_back(desk, until):
    """Whoever answers pages comes first: judging asks for the processor only when nobody else wants it."""
    usual = os.getpriority(os.PRIO_PROCESS, 0)
    wanted = [usual] * (crew.processes() + 1) + [min(usual + 10, 19)] * crew.processes()
    until(lambda: sorted(os.getpriority(os.PRIO_PROCESS, child) for child in desk.children()) == wanted)


def test_address_that_is_taken_is_told():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(NotAllowedError, match="Choose another with --port"):
            listen(Address(port=taken.getsockname()[1]))


def test_address_of_the_newer_kind():
    with listen(Address("::1", 0)) as listening:
        assert listening.family == socket.AF_INET6


def test_piece_is_claimed_by_one_process_at_a_time(tmp_path, settings, db):
    """By another that is gone no longer; on PostgreSQL another session stands for the other process."""
    from django.db import connection

    from pitchline.desk.claims import claimed

    settings.DATA = tmp_path
    ours, theirs = (os.pipe() for _ in range(2))
    if connection.vendor == "postgresql":
        other = connection.copy()
        with claimed("a piece") as mine, other.cursor() as cursor:
            assert mine
            asked = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND pid <> pg_backend_pid()"
            cursor.execute(asked)
            assert cursor.fetchone()[0] >= 1
        other.close()
        return
    pid = os.fork()
    if pid == 0:
        with claimed("a piece") as mine:
            os.write(theirs[1], b"y" if mine else b"n")
            os.read(ours[0], 1)
            os._exit(0)  # without letting go
    assert os.read(theirs[0], 1) == b"y"
    with claimed("a piece") as mine, claimed("another") as free:
        assert (mine, free) == (False, True)
    os.write(ours[1], b".")
    os.waitpid(pid, 0)
    with claimed("a piece") as mine:
        assert mine


def test_worker_nobody_started_leaves_the_work_to_whoever_wants_it(db, bring, dossier):
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.machine.worker import WORKER, judge_soon

    machine = bring(dossier, judged=False)
    assert not WORKER.alive
    judge_soon()
    assert Machine.objects.get(pk=machine.pk).judgement is not None


def test_worker_is_woken_without_being_waited_for(monkeypatch):
    """The ring goes through a pipe between processes; nobody need be listening yet."""
    from pitchline.desk.machine.worker import Worker

    worker = Worker()
    worker.start()
    assert worker.wake()
    assert worker._bell.ear.poll(1)


def test_bell_blocks_nobody_however_often_it_is_rung():
    """A pipe holds 64 KiB: after some thousand rings that nobody heard, one more would wait for ever."""
    from pitchline.desk.worker import Worker

    worker = Worker()
    worker.start()
    assert all(worker.wake() for _ in range(20_000))
    assert worker._bell.ear.poll(1)


@pytest.fixture
def looked_at(machine, settings, tmp_path):
    """The data folder of a desk that has drawn nothing yet, and a look at what is drawn."""
    from pitchline.desk.machine.judged_pages import is_drawn
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.piece_cache import close_store

    close_store()
    settings.MADE_HERE = tmp_path
    yield lambda: [one.pk for one in Machine.objects.select_related("business") if is_drawn(one, priced=False)]
    close_store()


def test_judged_in_the_background_means_drawn(client, bring, dossier, looked_at, monkeypatch):
    """Before anybody asks for the page; whoever then does waits for no drawing."""
    from pitchline.desk.machine import pages
    from pitchline.desk.machine.judging import judge_waiting
    from pitchline.desk.machine.worker import draw_new

    new = bring(replace(dossier, machine=replace(dossier.machine, machine_id="new", name="New")), judged=False)
    judge_waiting(draw_new)
    assert looked_at() == [new.pk]
    monkeypatch.setattr(pages, "side_svg", None)  # drawing now would fail
    assert b"<svg" in client.get(f"/machines/{new.pk}/").content


def test_what_a_new_version_has_not_drawn_is_drawn_in_the_background(machine, looked_at):
    from pitchline.desk.machine.worker import Judging

    assert looked_at() == []
    Judging().work()
    assert looked_at() == [machine.pk]


def test_drawing_ahead_stands_back_for_judging(bring, dossier, machine, looked_at):
    """One rings while machines are drawn that nobody has asked for: judging is looked at first, and drawing goes on after."""
    from pitchline.desk.machine.worker import Judging

    worker = Judging()
    worker.start()
    worker.wake()
    worker.work()
    assert looked_at() == []
    worker._bell.listen(0)
    worker.work()
    assert looked_at() == [machine.pk]


def test_machines_are_drawn_ahead_in_the_yards_order(bring, dossier, machine, looked_at):
    """The most pressing first: it is what the yard shows first. Archived ones wait until somebody opens them."""
    from django.utils import timezone

    from pitchline.desk.machine.models import Machine
    from pitchline.desk.machine.worker import undrawn

    others = [
        bring(replace(dossier, machine=replace(dossier.machine, machine_id=name, name=name))) for name in "ABC"
    ]
    for one, (rank, hours) in zip([machine, *others], ((0, 900.0), (2, 50.0), (0, 300.0), (1, 10.0)), strict=True):
        Machine.objects.filter(pk=one.pk).update(call_rank=rank, due_middle_h=hours)
    Machine.objects.filter(pk=others[2].pk).update(archived_at=timezone.now())
    assert undrawn()[::-1] == [others[0].pk, others[1].pk, machine.pk]
