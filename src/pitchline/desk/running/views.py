"""Whether the desk can answer, for a proxy; and what it does, for whoever draws it."""

import os

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.crypto import constant_time_compare
from django.views.decorators.http import require_safe

from pitchline.desk.machine.models import Machine
from pitchline.desk.running.watch import counters

FOLDER = "PROMETHEUS_MULTIPROC_DIR"
"""By this the library knows where the desk's processes put what each counts."""


@require_safe
@login_not_required
def ready(request: HttpRequest) -> JsonResponse:
    """Whether the database answers too."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return JsonResponse({"pitchline": "waiting for its database"}, status=503)
    return JsonResponse({"pitchline": "ready"})


@require_safe
@login_not_required
def metrics(request: HttpRequest) -> HttpResponse:
    """Figures in the usual text format, for whoever knows the word for it."""
    if not settings.METRICS or not constant_time_compare(
        request.headers.get("Authorization", ""), f"Bearer {settings.METRICS}"
    ):
        raise Http404
    from prometheus_client import REGISTRY, CollectorRegistry, Gauge, generate_latest, multiprocess

    counters()
    whole = REGISTRY
    if os.environ.get(FOLDER):
        whole = CollectorRegistry()
        multiprocess.MultiProcessCollector(whole)  # type: ignore[no-untyped-call]
    now = CollectorRegistry()
    waiting = Machine.objects.filter(to_judge=True).count()
    Gauge("pitchline_machines_to_judge", "Machines that wait to be judged.", registry=now).set(waiting)
    Gauge("pitchline_machines", "Machines in all yards.", registry=now).set(Machine.objects.count())
    return HttpResponse(
        generate_latest(whole) + generate_latest(now), content_type="text/plain; version=0.0.4; charset=utf-8"
    )
