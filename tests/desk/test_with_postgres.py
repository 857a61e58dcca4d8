"""The script that lends a command a PostgreSQL server."""

import os
import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).parents[2] / "scripts" / "with-postgres"


def run(*command, **changes):
    """What the script says and how it ends."""
    env = os.environ | changes
    return subprocess.run([SCRIPT, *command], capture_output=True, text=True, env=env, check=False)  # noqa: S603  ours


def test_without_a_server_it_says_so_and_runs_nothing(tmp_path):
    done = run("touch", str(tmp_path / "ran"), PITCHLINE_POSTGRES=str(tmp_path))
    assert done.returncode == 69
    assert "No PostgreSQL server on this computer" in done.stderr
    assert not (tmp_path / "ran").exists()


def test_with_a_server_its_command_has_one_and_nothing_is_left():
    """Where none is installed the script says so; where one is, its database answers to the command, whose status it hands on."""
    there = run("--there").returncode == 0
    asked = "import os, psycopg; print(psycopg.connect(os.environ['PITCHLINE_DATABASE']).execute('select 6 * 7').fetchone()[0])"
    done = run("sh", "-c", f'echo "$PITCHLINE_DATABASE"; {sys.executable} -c "{asked}"; exit 3')
    if not there:
        assert done.returncode == 69
        return
    address, answer = done.stdout.split()
    assert (done.returncode, answer) == (3, "42")
    assert not Path(address.partition("host=")[2]).exists()
