"""Generate a client from the desk's own description, type check it, and do a yard's work with it.

    python3 -m venv build/clients && build/clients/bin/pip install openapi-python-client mypy
    .venv/bin/python scripts/try_generated_client.py build/clients/bin

A desk runs beside it in a folder of its own; nothing else is touched. Every operation must be generated
without a warning and mypy find nothing wrong with the steps below; then the steps are done.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

PORT = 8397
CONFIG = """\
content_type_overrides:
  application/pdf: application/octet-stream
  application/vnd.openxmlformats-officedocument.spreadsheetml.sheet: application/octet-stream
  text/calendar: application/octet-stream
  text/plain: application/octet-stream
"""
"""The generator knows files by one kind of content alone."""
STEPS = """\
import json
import sys
import uuid
from pathlib import Path

from httpx import Timeout
from yard import Client
from yard.api.jobs import job, send_many
from yard.api.machines import add_a_machine, bring_a_machine, machines
from yard.api.papers import paper_colleague_pdf
from yard.api.verdicts import judge_now
from yard.api.walk_rounds import begin_a_walk_round, finish_a_walk_round, readable, save_lines
from yard.models import (
    Brought, JobShown, Line, Lines, Machine, MachineFile, MachineKind, MachineList, ManyWrites, NewMachine, NewWalkRound, Nothing,
    OneWrite, OneWriteBody, Readable, Refused, VerdictRow, WalkRound,
)
from yard.types import File

desk = Client(sys.argv[1], timeout=Timeout(600.0))


def key() -> str:
    return str(uuid.uuid4())


listed = machines.sync(client=desk)
assert isinstance(listed, MachineList) and listed.count == 0
new = add_a_machine.sync(
    client=desk, idempotency_key=key(), body=NewMachine(kind=MachineKind.DOZER, name="Dozer Hazel", hours="8150")
)
assert isinstance(new, Machine) and new.name == "Dozer Hazel"
whole = json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))
brought = bring_a_machine.sync(client=desk, idempotency_key=key(), body=MachineFile.from_dict(whole))
assert isinstance(brought, Brought)
one = brought.machine
there = readable.sync(one.id, client=desk)
assert isinstance(there, Readable)
began = begin_a_walk_round.sync(one.id, client=desk, idempotency_key=key(), body=NewWalkRound())
assert isinstance(began, WalkRound)
head = Line(key="head", seen_version=1, date=sys.argv[3], hours="4460")
keys = [each.key for place in there.places for each in place.quantities if each.measurand == "rail_height"]
lines = Lines(writer=uuid.uuid4(), lines=[head, *(Line(key=each, read=["101.2"]) for each in keys)])
save_lines.sync(began.id, client=desk, idempotency_key=key(), body=lines)
slip = Lines(writer=uuid.uuid4(), lines=[Line(key=keys[0] + "s", read=["1"])])
refused = save_lines.sync(began.id, client=desk, idempotency_key=key(), body=slip)
assert isinstance(refused, Refused) and keys[0] in refused.problems[0].next_step
done = finish_a_walk_round.sync(began.id, client=desk, idempotency_key=key(), body=Nothing())
assert isinstance(done, WalkRound) and done.state == "finished", done
verdict = judge_now.sync(one.id, client=desk, idempotency_key=key(), body=Nothing())
assert isinstance(verdict, VerdictRow)
paper = paper_colleague_pdf.sync(one.id, verdict.id, client=desk)
assert isinstance(paper, File) and paper.payload.read(4) == b"%PDF"
dozers = [
    OneWrite(path="/machines", body=OneWriteBody.from_dict({"kind": "dozer", "name": f"Dozer {n}", "hours": "1"}))
    for n in range(50)
]
sent = send_many.sync(client=desk, idempotency_key=key(), body=ManyWrites(writes=dozers))
while isinstance(sent, JobShown) and sent.state != "done":
    sent = job.sync(sent.id, client=desk)
assert isinstance(sent, JobShown) and (sent.done, sent.refused) == (50, 0)
print(f"list, machine, walk-round of {len(keys)} readings, verdict {verdict.call} ({verdict.headline}), paper, 50 in a job: done")
"""


# Every call is of a tool the caller named, with words of our own.
# ruff: noqa: S603


def main(tools: Path) -> int:
    """Exit status: 0 where all of it was done."""
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        desk = _desk(here)
        try:
            told = _description()
            (here / "openapi.json").write_text(json.dumps(told), encoding="utf-8")
            (here / "config.yml").write_text(CONFIG, encoding="utf-8")
            (here / "steps.py").write_text(STEPS, encoding="utf-8")
            many = sum(len(methods) for methods in told["paths"].values())
            _generate(tools, here, many)
            subprocess.run([tools / "mypy", "steps.py", "--follow-imports=silent"], cwd=here, check=True)
            at = f"http://127.0.0.1:{PORT}"
            example = told["paths"]["/api/v1/machine-files"]["post"]["requestBody"]["content"]["application/json"][
                "example"
            ]
            (here / "machine.json").write_text(json.dumps(example), encoding="utf-8")
            today = time.strftime("%Y-%m-%d")
            return subprocess.run([tools / "python", "steps.py", at, "machine.json", today], cwd=here).returncode
        finally:
            desk.terminate()
            desk.wait(60)


def _desk(here: Path) -> subprocess.Popen:
    command = [
        Path(sys.executable).parent / "pitchline",
        "desk",
        "--port",
        str(PORT),
        "--data",
        here / "data",
        "--no-browser",
    ]
    return subprocess.Popen(
        command, env=os.environ | {"PITCHLINE_DATA": str(here / "data")}, stdout=subprocess.DEVNULL
    )


def _description() -> dict:
    for _ in range(240):
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{PORT}/api/v1/openapi.json", timeout=5) as answer:
                return json.load(answer)
        except OSError:
            time.sleep(0.5)
    raise SystemExit("the desk did not answer")


def _generate(tools: Path, here: Path, many: int) -> None:
    path = f"{tools}{os.pathsep}{os.environ['PATH']}"
    command = [
        tools / "openapi-python-client",
        "generate",
        "--path",
        "openapi.json",
        "--output-path",
        "yard",
        "--meta",
        "none",
    ]
    said = subprocess.run(
        [*command, "--config", "config.yml"],
        cwd=here,
        env=os.environ | {"PATH": path},
        check=True,
        capture_output=True,
        text=True,
    )
    made = [each for each in (here / "yard" / "api").rglob("*.py") if each.name != "__init__.py"]
    print(f"{len(made)} of {many} operations generated")
    if len(made) != many or "WARNING" in said.stdout + said.stderr:
        raise SystemExit(said.stdout + said.stderr)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
