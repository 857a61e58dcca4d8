"""Jobs in the background: each write goes through the API's own door, as whoever sent it, with the rights they have now."""

import datetime as dt
import io
import json
import logging
from urllib.parse import urlsplit

from django.core.handlers.wsgi import WSGIRequest
from django.http import HttpResponse
from django.urls import Resolver404, resolve
from django.utils import timezone

from pitchline.desk.api.door import Door
from pitchline.desk.api.models import Job, JobPiece
from pitchline.desk.api.once import HEADER
from pitchline.desk.api.refused import RefusedError, not_found, refusal
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import Actor, DeskRequest, member_as_actor
from pitchline.desk.worker import Worker
from pitchline.trade.errors import Problem
from pitchline.trade.writing import writing
from pitchline.words import translated

JSON_KIND, PREFIX = "application/json", "/api/v1"
KEPT = dt.timedelta(days=7)
_LOG = logging.getLogger(__name__)


class DoesJobs(Worker):
    """One job after the other, one write after the other; what is done is never done again, however often the desk stops."""

    name = "jobs"

    def work(self) -> None:
        """Nothing comes out; afterwards no job waits."""
        Job.objects.filter(at__lt=timezone.now() - KEPT).delete()
        for job in Job.objects.filter(done_at=None).order_by("at"):
            with self.at(job.pk) as mine:
                if mine:
                    self._do(job)

    def _do(self, job: Job) -> None:
        for piece in JobPiece.objects.filter(job=job, status=None).order_by("number").iterator(100):
            with writing(job.business.writing):
                response = _answer(job, piece)
            _keep(piece, response)
            self.goes_on(job.pk)
        Job.objects.filter(pk=job.pk).update(done_at=timezone.now())
        judge_soon()

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; the write it hung at is told as refused, and the job goes on with the next."""
        piece = JobPiece.objects.filter(job_id=what, status=None).order_by("number").first()
        if piece is not None:
            problem = Problem("desk", why, translated("none"), translated("Send it by itself."))
            _keep(piece, refusal(RefusedError(500, problem)))


def _answer(job: Job, piece: JobPiece) -> HttpResponse:
    asked = urlsplit(PREFIX + piece.path)
    try:
        match = resolve(asked.path)
    except Resolver404:
        match = None
    if match is None or not isinstance(match.func, Door) or asked.path.startswith(f"{PREFIX}/jobs"):
        return refusal(not_found("Nothing is at this address."))
    body = piece.sent.encode()
    environ = {
        "REQUEST_METHOD": piece.method, "PATH_INFO": asked.path, "QUERY_STRING": asked.query, "SERVER_NAME": "localhost",
        "SERVER_PORT": "80", "wsgi.input": io.BytesIO(body), "CONTENT_TYPE": JSON_KIND, "CONTENT_LENGTH": str(len(body)),
        "wsgi.url_scheme": "http", f"HTTP_{HEADER.upper().replace('-', '_')}": str(piece.key),
    }  # fmt: skip
    request: DeskRequest = WSGIRequest(environ)  # type: ignore[assignment]
    request.of_a_job = True  # type: ignore[attr-defined]
    return match.func.as_person(request, lambda: _actor(job), *match.args, **match.kwargs)


def _actor(job: Job) -> Actor:
    """Who sent it, with what they may today and might then."""
    if job.user is None:
        return Actor(job.business, job.who).within(frozenset(job.rights))
    member = Member.objects.filter(business=job.business, user=job.user).select_related("business", "user").first()
    if member is None or not job.user.is_active:
        step = translated("Ask whoever keeps the desk.")
        raise RefusedError(403, Problem("person", job.who, translated("somebody who works for a business"), step))
    return member_as_actor(member).within(frozenset(job.rights))


def _keep(piece: JobPiece, response: HttpResponse) -> None:
    told = json.loads(response.content) if response.content else {}
    made = told.get("id") or (told.get("machine") or {}).get("id") or ""
    problems = told.get("problems", []) if response.status_code >= 400 else []
    JobPiece.objects.filter(pk=piece.pk).update(
        status=response.status_code, made=str(made), problems=problems, sent=""
    )


JOBS = DoesJobs()
