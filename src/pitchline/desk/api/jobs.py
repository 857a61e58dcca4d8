"""Many writes in one request, done in the background: how far a job is, and what became of each."""

import json
import uuid

from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet
from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import JobAsked, ManyWrites
from pitchline.desk.api.job_work import JOBS
from pitchline.desk.api.models import Job, JobPiece
from pitchline.desk.api.once import key_of
from pitchline.desk.api.refused import not_found
from pitchline.desk.api.shapes import JobList, JobShown, PieceDone, PieceList
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import Actor, DeskRequest

router = Router(tags=["jobs"])


@router.post("/jobs", response={201: JobShown}, openapi_extra=told(404, 422))
def send_many(request: DeskRequest, asked: ManyWrites) -> Status[JobShown]:
    """Up to 2,000 writes in one request, each done as if it were sent by itself, in their order; its id is the Idempotency-Key.

    Each asks its own right and is refused on its own. Machines are judged in the background. Kept for a week.
    """
    actor, job_id = request.actor, key_of(request)
    member = (
        Member.objects.filter(business=actor.business, user__username=actor.name).first()
        if actor.is_person
        else None
    )
    try:
        with transaction.atomic():
            job = Job.objects.create(
                pk=job_id,
                business=actor.business,
                user_id=member.user_id if member is not None else None,
                who=actor.name,
                rights=sorted(actor.rights),
                of=len(asked.writes),
            )
            JobPiece.objects.bulk_create(
                [
                    JobPiece(
                        job=job,
                        number=number,
                        key=one.key or uuid.uuid5(job_id, str(number)),
                        method=one.method,
                        path=one.path,
                        sent=json.dumps(one.body, ensure_ascii=False),
                    )
                    for number, one in enumerate(asked.writes, 1)
                ],
                batch_size=200,
            )
    except IntegrityError:  # sent again after its answer was forgotten
        job = _job(actor, job_id)
    JOBS.soon()
    return Status(201, _shown(_job(actor, job.pk)))


@router.get("/jobs", response=JobList, openapi_extra=told(422))
def jobs(request: DeskRequest, asked: Query[JobAsked]) -> dict[str, object]:
    """The jobs one sent within a week, the newest first."""
    return showing.page_of(_jobs(request.actor), asked, _shown)


@router.get("/jobs/{job_id}", response=JobShown, openapi_extra=told(404, 422))
def job(request: DeskRequest, job_id: Path[uuid.UUID]) -> JobShown:
    """How far a job is."""
    return _shown(_job(request.actor, job_id))


@router.get("/jobs/{job_id}/pieces", response=PieceList, openapi_extra=told(404, 422))
def job_pieces(request: DeskRequest, job_id: Path[uuid.UUID], asked: Query[JobAsked]) -> dict[str, object]:
    """What became of each write of a job, in their order; with `refused`, those that were refused alone."""
    rows = JobPiece.objects.filter(job=_job(request.actor, job_id)).order_by("number")
    return showing.page_of(rows.filter(status__gte=400) if asked.refused else rows, asked, _piece)


def _jobs(actor: Actor) -> QuerySet[Job]:
    """One's own."""
    return Job.objects.filter(business=actor.business, who=actor.name)


def _job(actor: Actor, job_id: uuid.UUID) -> Job:
    found = _jobs(actor).filter(pk=job_id).first()
    if found is None:
        raise not_found()
    return found


def _shown(row: Job) -> JobShown:
    done, refused = (row.pieces.filter(each).count() for each in (~Q(status=None), Q(status__gte=400)))
    return JobShown(
        id=row.pk,
        state="done" if row.done_at else "at work" if done else "waits",
        of=row.of,
        done=done,
        refused=refused,
        at=row.at,
        done_at=row.done_at,
    )


def _piece(row: JobPiece) -> PieceDone:
    names = ("number", "method", "path", "key", "status", "made", "problems")
    return PieceDone(**{name: getattr(row, name) for name in names})
