"""A job: how far it is, what it came to, and what to do when it was interrupted."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from browline.services.book import jobs
from browline.store.models import Job
from browline.web.current_book import current_book
from browline.web.readings.imports import pending_uploads
from browline.web.request import BookRequest
from browline.web.today.jobs.ends import job_end
from browline.web.today.jobs.titles import TITLES

UNDER_WAY = ("queued", "running")


def _page(number: int) -> dict[str, object]:
    job = get_object_or_404(Job, pk=number)
    status = jobs.status(current_book(), job)
    upload = pending_uploads.upload_for_job(number)
    if status == "done" and upload:
        pending_uploads.forget(upload.token)
    return {
        "job": job,
        "title": TITLES.get(job.verb, job.verb),
        "standing": status,
        "under_way": status in UNDER_WAY,
        "upload": upload,
        "waiting": pending_uploads.waiting() if job.verb == "import" else [],
        "outcome": job_end(job) if status == "done" else None,
    }


@require_GET
def work(request: BookRequest, number: int) -> HttpResponse:
    """The job's page."""
    return render(request, "today/jobs/work.html", _page(number))


@require_GET
def progress(request: BookRequest, number: int) -> HttpResponse:
    """The part of the job's page that changes; it asks for itself again while the job goes on."""
    return render(request, "today/jobs/progress.html", _page(number))


@require_POST
def again(request: BookRequest, number: int) -> HttpResponse:
    """Run an interrupted job again. A file that is no longer held has to be brought again."""
    job = get_object_or_404(Job, pk=number)
    if job.verb == "import":
        upload = pending_uploads.upload_for_job(number)
        return redirect("look", token=upload.token) if upload else redirect("readings")
    return redirect("work", number=jobs.run_again(current_book(), job).pk)
