"""A row of the price form with its own fields."""

from collections.abc import Collection

from django import template

from pitchline.desk.pricelist.forms import PricesForm, Row
from pitchline.words import translated

register = template.Library()


@register.inclusion_tag("pricelist/row.html")
def price_row(form: PricesForm, row: Row, fallback: str, moved: Collection[str]) -> dict[str, object]:
    """One job on one part: its prices, its hours, and what they are for."""
    cells = [*form.cells(row.key), (translated("price for"), form[f"per-{row.key}"])]
    wrong = [(said, error) for said, field in cells for error in field.errors]
    return {"row": row, "fallback": fallback, "moved_keys": moved, "cells": cells, "wrong": wrong}
