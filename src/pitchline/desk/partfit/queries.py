"""Reading the yard's tables of parts, always inside one business."""

import uuid
from collections.abc import Sequence

from django.db.models import QuerySet
from django.http import Http404

from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.people.models import Business


def tables_of(business: Business) -> QuerySet[PartsTable]:
    """Every table of a business, those put away too."""
    return PartsTable.objects.filter(business=business)


def in_use(business: Business) -> QuerySet[PartsTable]:
    """Tables that are looked in; without their cells."""
    return tables_of(business).filter(put_away_at=None).defer("rows")


def table_by(business: Business, table_id: uuid.UUID) -> PartsTable:
    """One table; not found where it is another business's."""
    found = tables_of(business).filter(pk=table_id).first()
    if found is None:
        raise Http404("No such table in this yard.")
    return found


def with_columns(business: Business, headings: Sequence[str]) -> PartsTable | None:
    """The newest table with the same columns, of which somebody said what they hold."""
    known = tables_of(business).filter(headings=list(headings)).exclude(columns=[])
    return known.only("columns", "every").first()
