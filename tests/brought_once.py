"""A machine brought in and judged: the statements that first wrote its rows write them again for whoever begins with it."""

import datetime as dt
import uuid

from django.db import connection
from django.forms.models import model_to_dict
from django.utils import timezone

from judged_once import judge_once, text_once
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.clock import today
from pitchline.desk.machine import judging
from pitchline.desk.machine.models import Machine
from pitchline.trade.writing import way_in_force

_WRITTEN = {}


def brought_once(who, dossier, bring):
    """The machine in a yard of nothing else, judged; `bring` does it the long way, once for all that is the same."""
    business = who.business
    in_use = Machine.objects.filter(business=business), PriceFile.objects.filter(business=business)
    if judging.judge is not judge_once or any(rows.exists() for rows in in_use):
        return bring()
    as_it_is = model_to_dict(business, exclude=["id", "name"])
    key = repr((connection.vendor, who.name, who.is_person, as_it_is, today(), way_in_force())), text_once(dossier)
    if key not in _WRITTEN:
        began, sent = timezone.now(), []

        def listen(execute, sql, params, many, context):
            if not sql.startswith(("SELECT", "SAVEPOINT", "RELEASE")):
                sent.append((sql, params))
            return execute(sql, params, many, context)

        with connection.execute_wrapper(listen):
            machine = bring()
        named = [business.pk, machine.pk, machine.judgement_id, *machine.sheets.values_list("pk", flat=True)]
        _WRITTEN[key] = began, sent, named
        return machine
    began, sent, named = _WRITTEN[key]
    now = dict(zip(named, (business.pk, *(uuid.uuid4() for _ in named[1:])), strict=True))
    with connection.cursor() as cursor:
        for sql, params in sent:
            cursor.execute(sql, [_now(one, began, now) for one in params])
    machine = Machine.objects.get(pk=now[named[1]])
    machine.business = business
    return machine


def _now(value, began, now):
    """A value with the ids and the moment of this time."""
    if isinstance(value, list):  # PostgreSQL is given columns of many rows
        return [_now(one, began, now) for one in value]
    if isinstance(value, uuid.UUID):
        return now.get(value, value)
    if isinstance(value, dt.datetime):
        return timezone.now() if value >= began else value
    if isinstance(value, str):
        for before, later in now.items():
            value = value.replace(before.hex, later.hex).replace(str(before), str(later))
        if len(value) in (19, 26) and value >= str(
            began.replace(tzinfo=None)
        ):  # a moment, where the database has none
            return str(timezone.now().replace(tzinfo=None)) if value[4::3][:2] == "--" else value
    return value
