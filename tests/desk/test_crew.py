"""The real desk in processes of its own: it answers, gets up again, and goes as a whole, however it goes."""

import os
import signal
import socket
from pathlib import Path

import pytest

from pitchline.desk import crew
from pitchline.desk.serve import Address, listen
from pitchline.trade.errors import NotAllowedError


def is_gone(pid):
    """Whether a process has ended; one that ended unmissed counts."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True


def test_crew_answers_gets_up_again_and_goes_when_told(desk, until):
    children = desk.children()
    assert len(children) == crew.processes() + 1
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


def test_crew_goes_when_its_head_is_killed(desk, until):
    children = desk.children()
    desk.process.kill()
    desk.process.wait(60)
    until(lambda: all(is_gone(child) for child in children))
    assert desk.ask() is None


def test_one_background_process_stands_back(desk, until):
    """Whoever answers pages comes first: judging asks for the processor only when nobody else wants it."""
    usual = os.getpriority(os.PRIO_PROCESS, 0)
    wanted = [usual] * crew.processes() + [min(usual + 10, 19)]
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
    assert worker._ear.poll(1)
