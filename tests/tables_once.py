"""The desk's tables, made as a new yard's are, once a run; every process after the first begins with a copy of them."""

import shutil

import pytest
from django.conf import settings
from django.core import management
from django.core.management.commands import flush
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from pitchline.desk.keeping.making import make_tables
from run_folder import RUN, alone_at


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment, django_db_blocker):
    """The tests' database, in place of pytest-django's own way to it."""
    with django_db_blocker.unblock():
        if RUN and connection.vendor == "sqlite":
            _first_or_copied()
        else:
            _make()
    with pytest.MonkeyPatch.context() as patched:
        # A test that locks ends with every table emptied; the permissions of each model, which nothing asks, stay away then.
        patched.setattr(flush, "emit_post_migrate_signal", lambda *told: None)
        yield
    with django_db_blocker.unblock():
        connection.close()


def _make():
    call_command = management.call_command

    def called(name, *told, **named):
        if name == "migrate":
            make_tables(MigrationLoader(connection))
        call_command(name, *told, **named)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(management, "call_command", called)
        connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)


def _first_or_copied():
    with alone_at("tables.sqlite3") as made:
        if not made.exists():
            _make()
            connection.cursor().execute("VACUUM INTO %s", [str(made)])
            return
    name = connection.settings_dict["TEST"]["NAME"]
    connection.close()
    shutil.copyfile(made, name)
    settings.DATABASES["default"]["NAME"] = connection.settings_dict["NAME"] = name
