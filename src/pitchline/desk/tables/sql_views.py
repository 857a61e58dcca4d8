"""The tables of the yard as views of the database, for programs that read it themselves.

A view holds fast the tables it reads, so that no migration could change them: it is taken out before one and made again after.
"""

from typing import Any

from django.db import connection
from django.db.models import F, FloatField, QuerySet, Value
from django.db.models.expressions import Combinable

from pitchline.desk.tables.queries import TABLES, Table

PREFIX = "yard_tables_"
_MM = Value(1e3, output_field=FloatField())


def view_sql(table: Table) -> str:
    """What a view selects: the business, then the columns of the table, of machines that are not archived."""
    way = f"{table.machine}__" if table.machine else ""
    paths = {column.name: table.path(column.name) for column in table.whole}
    # Names of fields cannot stand as names of annotations, so the query tells the cells and SQL their names.
    cells: list[str | Combinable] = [
        F(path) * _MM if name == "value_mm" else path
        for name, path in {"business_id": f"{way}business_id", **paths}.items()
    ]
    found: QuerySet[Any] = table.rows.objects.filter(table.holds).order_by()
    sql, params = found.values_list(*cells).query.sql_with_params()
    editor = connection.schema_editor()
    return sql % tuple(editor.quote_value(one) for one in params)


def make_views() -> list[str]:
    """The names of the views, which are there afterwards as this release has them."""
    drop_views()
    with connection.cursor() as cursor:
        for table in TABLES.values():
            names = ", ".join(f'"{name}"' for name in ("business_id", *(column.name for column in table.whole)))
            cursor.execute(f'CREATE VIEW "{PREFIX}{table.name}" ({names}) AS {view_sql(table)}')
    return [PREFIX + name for name in TABLES]


def drop_views() -> bool:
    """Whether there were any; afterwards there are none."""
    with connection.cursor() as cursor:
        there = [
            one.name
            for one in connection.introspection.get_table_list(cursor)
            if one.type == "v" and one.name.startswith(PREFIX)
        ]
        for name in there:
            cursor.execute(f'DROP VIEW "{name}"')
    return bool(there)


_OUT: list[bool] = []


def before_migrating(**_: Any) -> None:
    """Nothing comes out; no view holds a table fast."""
    if drop_views():
        _OUT.append(True)


def after_migrating(**_: Any) -> None:
    """Nothing comes out; views that were there are there again."""
    if _OUT:
        _OUT.clear()
        make_views()
