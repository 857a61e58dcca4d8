"""Every form of the desk, made with what was sent."""

import ast
import datetime as dt
from importlib import import_module
from pathlib import Path

from django import forms

import pitchline.desk
from pitchline.desk.freequote.forms import Row
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.people.models import Business, Depot
from pitchline.desk.workdone.rows import Row as WorkRow
from pitchline.exchange.parts_file import Column
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

DESK = Path(pitchline.desk.__file__).parent
BUSINESS = Business(pk=1, numbers="point")
ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
LEAK = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
ROW = WorkRow(
    "Replace bottom roller 3, left", ROLLER.part, (ROLLER,), frozenset({ROLLER}), None, (LEAK,), frozenset()
)
MORE = {
    "AskingForm": {"business": BUSINESS},
    "KnownByForm": {"business": BUSINESS},
    "AboutForm": {"business": BUSINESS},
    "AddMachineForm": {"business": BUSINESS},
    "GearForm": {"numbers": "point"},
    "BookForm": {"numbers": "point"},
    "SettingsForm": {"standing": "point"},
    "PricesForm": {"numbers": "point"},
    "TimesForm": {"numbers": "point"},
    "ClassForm": {"numbers": "point", "entries": ["Wide steel"]},
    "FreeQuoteForm": {
        "numbers": "point",
        "on": dt.date(2026, 11, 30),
        "prices": None,
        "rows": [Row(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, None, "")],
    },
    "ColumnsForm": {"columns": (Column("x", "tread diameter", "mm"),)},
    "_Figures": {"numbers": "point"},
    "MeterForm": {"numbers": "point"},
    "ItemForm": {
        "numbers": "point",
        "entries": [BookEntry(name="Wide steel")],
        "depots": [Depot(name="Wide steel")],
    },
    "TakeForm": {"numbers": "point"},
    "ChangedForm": {"numbers": "point"},
    "FeedForm": {"has_secret": True},
    "DoneForm": {"numbers": "point", "currency": ""},
    "WorkRowForm": {
        "row": ROW,
        "sizes": ((ROLLER, Measurand.TREAD_DIAMETER),),
        "numbers": "point",
        "currency": "EUR",
        "alone": False,
    },
    **{
        name: {"numbers": "point"}
        for name in (
            "EntryForm",
            "MassForm",
            "HoursForm",
            "WorkedGroundForm",
            "CallsForm",
            "MeterChangeRow",
            "HistoryRow",
            "SpanRow",
            "NamedRow",
            "RangeRow",
            "LifeRow",
            "ToolRow",
        )
    },
    "LineRow": {"numbers": "point", "was": {"measurand": "grouser_height", "turn_at": 0.5}},
    "Version": {"name": "seen_version"},
    "_Lines": {"most": 10},
}
"""What a form is made with beside what was sent."""
LINES = {"one~1": "", "two": ""}
"""A table's form has the fields that were sent."""


def every_form():
    """Each class in the desk's files that is a form, whether any page shows it or not."""
    found = {}
    for path in DESK.rglob("*.py"):
        names = [one.name for one in ast.parse(path.read_text("utf-8")).body if isinstance(one, ast.ClassDef)]
        if not names or "migrations" in path.parts or path.name == "settings.py":
            continue
        module = import_module(".".join(("pitchline.desk", *path.relative_to(DESK).with_suffix("").parts)))
        kinds = [getattr(module, name) for name in names]
        found |= {kind.__name__: kind for kind in kinds if issubclass(kind, forms.BaseForm)}
    return found


FORMS = every_form()


def made(name, sent):
    return FORMS[name]({**LINES, **sent} if name == "_Lines" else sent, **MORE.get(name, {}))
