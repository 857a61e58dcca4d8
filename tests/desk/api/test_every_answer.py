"""Everything the description allows, and much it does not, is asked of the API: no error of its own, no undescribed answer.

The same questions on every run. `PITCHLINE_API_EXAMPLES=2000 pytest tests/desk/api/test_every_answer.py` asks more, and
new ones; with `PITCHLINE_API_AS=fitter`, another role, or `read`, as a token of theirs, or one that only reads.
"""

import hashlib
import json
import os
import uuid

import pytest
import schemathesis
from django.contrib.auth.models import User
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections
from hypothesis import HealthCheck, settings
from schemathesis.config import SchemathesisConfig
from schemathesis.core import NotSet
from schemathesis.core.parameters import ParameterLocation
from schemathesis.specs.openapi.checks import ignored_auth

from pitchline.desk.api import verdicts
from pitchline.desk.api.document import document
from pitchline.desk.api.examples import EXAMPLES
from pitchline.desk.api.prices import CSV
from pitchline.desk.api.refused import refusal, unusable
from pitchline.desk.api.tokens import make_token
from pitchline.desk.clock import today
from pitchline.desk.freequote.actions import keep_quote
from pitchline.desk.freequote.making import ground_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.papers import XLSX
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Member
from pitchline.desk.people.rights import OWNER
from pitchline.desk.people.who import member_as_actor
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.yard.models import PriceFile
from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.text_in import decode
from pitchline.money.free_quote import Asked, free_quote
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

MANY = int(os.environ.get("PITCHLINE_API_EXAMPLES", "0"))
WHO, READ = os.environ.get("PITCHLINE_API_AS", ""), "read"
NOT_THEIRS = ["403"] if WHO else []
"""Who may not is told so before what was sent is looked at."""
SEED = 7
TABLES = (CSV, XLSX)
CONFIG = SchemathesisConfig.from_dict(
    {
        "seed": SEED,
        "checks": {
            # What the desk's own forms and its core decide is no part of the description: 409 and 422 are right answers to it.
            "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "422", *NOT_THEIRS]},
            "missing_required_header": {"expected-statuses": [400, 401, 422, *map(int, NOT_THEIRS)]},
        },
    }
)


@schemathesis.serializer(*TABLES)
def as_bytes(context, value):
    """A price list's content as it is."""
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "replace")


schema = schemathesis.openapi.from_dict(document(), config=CONFIG)
schema.app = get_wsgi_application()
IDS = ("machine_id", "walk_round_id", "verdict_id", "price_list_id", "quote_id")
_KEYS = iter(range(10**9))
ONE_READER = {"POST /api/v1/machine-files", "PUT /api/v1/machines/{machine_id}/file"}
"""What the body says is read by `machine_from_json` first of all: what it refuses, nothing else sees."""
BY_ADDRESS = 32
"""Of bodies that cannot be read, one in so many goes the whole way."""


@pytest.fixture
def one_transaction():
    """The application leaves the test's connection open after each answer, as it does for Django's own test client."""
    signals = (request_started, request_finished)
    for signal in signals:
        signal.disconnect(close_old_connections)
    yield
    for signal in signals:
        signal.connect(close_old_connections)


@pytest.fixture
def yard(machine, priced, monkeypatch, settings, one_transaction):
    """The rows the examples speak of, under the ids they have there; one plan worked out, for whatever is asked."""
    settings.ALLOWED_HOSTS = ["localhost"]
    before = dict.fromkeys(["machine"], machine.pk)
    Machine.objects.filter(pk=before["machine"]).update(short_name="old")
    row = Machine.objects.get(pk=machine.pk)
    row.pk, row.short_name, row.judgement = uuid.UUID(EXAMPLES["machine_id"]), "T1", None
    row.save(force_insert=True)
    Sheet.objects.filter(machine_id=before["machine"]).update(machine=row)
    Sheet.objects.create(pk=EXAMPLES["walk_round_id"], business=row.business, machine=row, date_text="2026-11-02")
    judgement = Judgement.objects.get()
    judgement.pk, judgement.machine, judgement.digest = uuid.UUID(EXAMPLES["verdict_id"]), row, "x"
    judgement.save(force_insert=True)
    Machine.objects.filter(pk=before["machine"]).delete()
    PriceFile.objects.update(id=EXAMPLES["price_list_id"])
    ground = ground_of(row)
    keep_quote(
        local_actor(), machine=row, quote_id=uuid.UUID(EXAMPLES["quote_id"]), prices=PriceFile.objects.get(), asked={},
        quote=free_quote(ground.own, [Asked(JobKind.TURN, PartKind.BUSH)]), head=ground.head("", today(), ""),
    )  # fmt: skip
    if not MANY:
        found = {}
        real = verdicts.judge

        def once(*asked, planning, **rest):
            if "plan" not in found:
                found["plan"] = real(*asked, planning=verdicts.PlanSettings(600.0), **rest)
            return found["plan"]

        monkeypatch.setattr(verdicts, "judge", once)
    if not WHO:
        return {}
    user = User.objects.create_user("mate")
    member = Member.objects.create(user=user, business=row.business, role=OWNER if WHO == READ else WHO)
    secret = make_token(user, member_as_actor(member), "x", scope=READ if WHO == READ else "all")
    return {"Authorization": f"Bearer {secret}"}


@schema.parametrize()
@settings(
    max_examples=MANY or 10,
    derandomize=not MANY,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    database=None,
)
def test_no_error_of_its_own_and_no_answer_that_is_not_described(yard, case):
    for name in IDS:
        if _is_uuid(case.path_parameters.get(name)):
            case.path_parameters[name] = EXAMPLES[name]
    if _is_uuid((case.headers or {}).get("Idempotency-Key")):
        case.headers["Idempotency-Key"] = str(uuid.UUID(int=next(_KEYS), version=4))
    if MANY or not (_is_refused_by_its_reader(case) or _is_one_of_many(case)):
        # Without a token a desk of one person answers, too.
        case.call_and_validate(headers=yard, excluded_checks=[ignored_auth] if WHO else [])


def _is_one_of_many(case):
    """What pages do goes through one function into forms that are tried field by field elsewhere: one in eight is asked."""
    raw = case.operation.definition.raw
    asked = repr((case.path_parameters, case.query, case.headers, case.body))
    return "x-page" in raw and int(hashlib.sha256(asked.encode()).hexdigest(), 16) % 8 != 0


def _is_refused_by_its_reader(case):
    """Whether it was one of thousands that differ in an unreadable body alone: asked of the reader itself, and refused."""
    varied = case.meta.phase.data
    if (
        case.operation.label not in ONE_READER
        or getattr(varied, "parameter_location", None) is not ParameterLocation.BODY
        or case.media_type != "application/json"
        or isinstance(case.body, bytes | NotSet)
    ):
        return False
    text = json.dumps(case.body)
    if int(hashlib.sha256(text.encode()).hexdigest(), 16) % BY_ADDRESS == 0:
        return False
    try:
        machine_from_json(decode(text.encode(), "machine file"), "machine file")
    except (InputError, NotAllowedError) as error:
        return refusal(unusable(error)).status_code == 422
    return False


def _is_uuid(text):
    try:
        return len(text) == 36 and bool(uuid.UUID(text))
    except (TypeError, ValueError):
        return False
