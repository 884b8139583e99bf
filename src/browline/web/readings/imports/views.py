"""Bring a file in: drop it, look at how it will be read, take it."""

import zoneinfo

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from browline.columns import KINDS
from browline.errors import InputRefused
from browline.roles import EDUCATOR
from browline.services.book import change_preference, jobs, preferences
from browline.services.imports import doubtful_dates, receipts
from browline.services.imports.look import TableLook, preview
from browline.services.imports.strays import strays_note
from browline.store.importing.files import strays
from browline.store.models import Import, Job
from browline.web.current_book import current_book
from browline.web.readings.imports import pending_uploads
from browline.web.readings.imports.forms import FileForm, TableForm
from browline.web.readings.imports.names import charted_names
from browline.web.request import BookRequest

JOBS_SHOWN = 5


@require_GET
def readings(request: BookRequest) -> HttpResponse:
    """Bring a file in; files waiting; work under way; what came in; charts."""
    imports = Import.objects.all()
    return render(
        request,
        "readings/imports/readings.html",
        {
            "waiting": pending_uploads.waiting(),
            "jobs": _unfinished(),
            "imports": imports,
            "doubted": doubtful_dates.doubtful_dates(current_book()),
            "why_dates": doubtful_dates.WHY,
            "names": charted_names(),
            "strays": strays_note(strays(current_book())),
            **receipts.book_answers(),
        },
    )


def _unfinished() -> list[tuple[Job, str]]:
    """Of the last imports, those that are not done: under way, refused, failed or interrupted."""
    latest = Job.objects.filter(verb="import")[:JOBS_SHOWN]
    statuses = [(job, jobs.status(current_book(), job)) for job in latest]
    return [(job, stands) for job, stands in statuses if stands != Job.DONE]


@require_POST
def bring(request: BookRequest) -> HttpResponse:
    """Hold the files she dropped, in memory, and show the first."""
    came = [pending_uploads.hold(upload) for upload in request.FILES.getlist("files")]
    if not came:
        messages.error(request, "No file came. Choose one, then press “Look at it”.")
        return redirect("readings")
    return redirect("look", token=came[0].token)


def _gone(request: BookRequest) -> HttpResponse:
    return render(request, "readings/imports/gone.html", status=404)


@require_GET
def look(request: BookRequest, token: str) -> HttpResponse:
    """How the file will be read, editable; nothing is taken."""
    upload = pending_uploads.find(token)
    if upload is None:
        return _gone(request)
    try:
        tables = _tables(upload)
    except InputRefused as refusal:
        others = [pending for pending in pending_uploads.waiting() if pending is not upload]
        page = {"upload": upload, "refusal": refusal, "waiting": others}
        return render(request, "readings/imports/refused.html", page, status=422)
    forms = [TableForm(table, prefix=f"t{i}") for i, table in enumerate(tables)]
    return _mapping_page(request, upload, FileForm(initial={"zone": preferences.choice("zone")}), forms)


def _tables(upload: pending_uploads.PendingUpload, kind: str | None = None) -> tuple[TableLook, ...]:
    if kind not in upload.looks:
        upload.looks[kind] = preview(current_book(), upload.path, kind=kind)
    return upload.looks[kind]


def _mapping_page(
    request: BookRequest,
    upload: pending_uploads.PendingUpload,
    whole: FileForm,
    forms: list[TableForm],
    status: int = 200,
) -> HttpResponse:
    zones = sorted(zoneinfo.available_timezones())
    page = {"upload": upload, "whole": whole, "forms": forms, "zones": zones, "picture": _picture(upload)}
    return render(request, "readings/imports/look.html", page, status=status)


def _picture(upload: pending_uploads.PendingUpload) -> list[tuple[str, int]]:
    """Where the file's values lie, once it was stopped for them with a question."""
    stopped = Job.objects.filter(pk__in=pending_uploads.jobs_taking(upload.token), state=Job.REFUSED)
    return next((job.result["picture"] for job in stopped if job.result.get("asked") == "people"), [])


@require_POST
def take(request: BookRequest, token: str) -> HttpResponse:
    """Take the file as mapped, in a job of its own; or show the lines of another kind of table."""
    upload = pending_uploads.find(token)
    if upload is None:
        return _gone(request)
    tables = [_tables(upload, _kind_chosen(request, i, table))[i] for i, table in enumerate(_tables(upload))]
    whole = FileForm(request.POST)
    if "show-kind" in request.POST:
        blank_forms = [TableForm(table, prefix=f"t{i}") for i, table in enumerate(tables)]
        return _mapping_page(request, upload, whole, blank_forms)
    forms = [TableForm(table, request.POST, prefix=f"t{i}") for i, table in enumerate(tables)]
    valid = [form.is_valid() for form in (whole, *forms)]
    if not all(valid):
        return _mapping_page(request, upload, whole, forms, status=422)
    return redirect("work", number=_start(upload, whole.cleaned_data, forms).pk)


def _kind_chosen(request: BookRequest, number: int, table: TableLook) -> str | None:
    chosen = request.POST.get(f"t{number}-kind", table.kind)
    return None if chosen == table.kind or chosen not in KINDS else chosen


def _start(upload: pending_uploads.PendingUpload, whole: dict[str, object], forms: list[TableForm]) -> Job:
    zone = whole["zone"]
    if zone and not preferences.choice("zone"):
        change_preference.set_choice("zone", zone, EDUCATOR)
    arguments = {
        "path": str(upload.path),
        "mappings": {form.table.label: form.mapping().as_toml() for form in forms},
        "zone": zone or None,
        "people": whole["people"] and bool(_picture(upload)),
        "actor": EDUCATOR,
    }
    job: Job = jobs.start(current_book(), "import", arguments, fds=upload.slot.handles)
    pending_uploads.taken_by(upload.token, job.pk)
    return job


@require_POST
def forget(request: BookRequest, token: str) -> HttpResponse:
    """Let a file go that was not taken."""
    pending_uploads.forget(token)
    messages.success(request, "The file was forgotten; nothing of it was kept.")
    return redirect("readings")
