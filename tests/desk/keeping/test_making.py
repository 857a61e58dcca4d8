"""A new yard's tables are those that the steps of their history leave, as the database itself tells of both."""

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from pitchline.desk.keeping.making import make_tables


def told():
    """Every table with its columns, constraints and indexes; the order of columns is nobody's business.

    Nor is how wide the row number of a table is that only links two others: in Django's history it is the project's, by its
    models the app's.
    """
    links = {
        model._meta.db_table for model in apps.get_models(include_auto_created=True) if model._meta.auto_created
    }
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            columns = connection.introspection.get_table_description(cursor, table)
            rules = connection.introspection.get_constraints(cursor, table).values()
            found[table] = (
                sorted(
                    (one.name, str(one.type_code), one.display_size, one.null_ok, one.default)
                    for one in columns
                    if not (table in links and one.name == "id")
                ),
                sorted(repr(sorted(rule.items())) for rule in rules),
            )
    return found


def all_away():
    with connection.cursor() as cursor:
        names = connection.introspection.table_names(cursor)
        if connection.vendor == "postgresql":
            cursor.execute("DROP SCHEMA public CASCADE")
            cursor.execute("CREATE SCHEMA public")
            return
        cursor.execute("PRAGMA foreign_keys = OFF")
        for name in names:
            cursor.execute(f'DROP TABLE "{name}"')
        cursor.execute("PRAGMA foreign_keys = ON")


@pytest.mark.django_db(transaction=True)
def test_a_new_yard_has_the_tables_that_its_history_leaves():
    all_away()
    MigrationExecutor(connection).migrate(MigrationExecutor(connection).loader.graph.leaf_nodes())
    walked, steps = told(), set(MigrationRecorder(connection).applied_migrations())
    assert not make_tables(MigrationLoader(connection))  # there are some
    all_away()
    assert make_tables(MigrationLoader(connection))
    made = told()
    assert made.keys() == walked.keys()
    assert {name: one for name, one in made.items() if one != walked[name]} == {}
    assert set(MigrationRecorder(connection).applied_migrations()) == steps
    call_command("migrate", verbosity=0, interactive=False)
