"""The script that lends a command a PostgreSQL server."""

import os
import subprocess
import sys
from pathlib import Path

from statements import left_out

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


def test_what_is_left_out_on_it_is_there():
    """A test that was named anew runs there again, until somebody has looked."""
    root = SCRIPT.parents[1]
    files = {one.partition("::")[0] for one in left_out()}
    text = {one: (root / one).read_text(encoding="utf-8") for one in files if (root / one).is_file()}
    gone = [
        one for one in left_out() if f"def {one.partition('::')[2]}" not in text.get(one.partition("::")[0], "")
    ]
    assert [one for one in gone if "::" in one or one not in text] == []
