"""Which statements of the desk are sent only by tests that do not run on PostgreSQL.

`python -m pytest -p statements tests/desk` tells it at its end.
"""

import re
from pathlib import Path

import pytest
from django.db.backends.utils import CursorWrapper

LISTED = Path(__file__).parent / "desk" / "sqlite_is_enough.txt"
_REPEATED = (
    (re.compile(r"IN \(%s(?:, %s)*\)"), "IN (...)"),
    (re.compile(r"(\((?:%s|DEFAULT)(?:, (?:%s|DEFAULT))*\))(?:, \1)+"), r"\1, ..."),
    (re.compile(r'"s\d+_x\d+"'), "a savepoint"),
)
"""What differs with the number of rows alone, or names a savepoint."""
_SENT: dict[str, set[str]] = {}
_NOW: set[str] = set()


def left_out():
    """Files and tests that do not run on PostgreSQL, as node ids begin."""
    return tuple(line.partition("=")[2] for line in LISTED.read_text(encoding="utf-8").splitlines())


def _heard(send):
    def sent(cursor, sql, params=None):
        said = str(sql)
        for pattern, short in _REPEATED:
            said = pattern.sub(short, said)
        _NOW.add(said)
        return send(cursor, sql, params)

    return sent


def pytest_configure():
    CursorWrapper.execute, CursorWrapper.executemany = map(
        _heard, (CursorWrapper.execute, CursorWrapper.executemany)
    )


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef):
    made = yield
    if fixturedef.argname == "django_db_setup":  # what makes the tables is no test's own
        _NOW.clear()
    return made


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_protocol(item):
    _NOW.clear()
    try:
        return (yield)
    finally:
        _SENT[item.nodeid] = set(_NOW)


def pytest_terminal_summary(terminalreporter):
    away = {test for test in _SENT if test.startswith(left_out())}
    there = set().union(*(sent for test, sent in _SENT.items() if test not in away))
    lost = {one: test for test in away for one in _SENT[test] - there}
    terminalreporter.write_line(
        f"{len(away)} tests are not run on PostgreSQL; {len(lost)} statements are sent by them alone:"
    )
    for one, test in sorted(lost.items(), key=lambda pair: pair[1]):
        terminalreporter.write_line(f"{test}\n    {one}")
